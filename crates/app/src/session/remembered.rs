//! Preferences on disk: read at the start, written whole at every change.

use std::{
    fs,
    path::{Path, PathBuf},
};

use lithodrome_rehearsal::{read_text, sweep_temporaries, write_whole};
use ron::ser::PrettyConfig;

use super::Preferences;

const NAME: &str = "preferences.ron";
/// What it is called when it cannot be read and was moved aside.
const UNREADABLE: &str = "unreadable";

/// The file of one person's preferences.
#[derive(Clone, Debug)]
pub struct RememberedFile {
    path: PathBuf,
}

impl RememberedFile {
    /// The one in this folder.
    pub fn of(folder: &Path) -> Self {
        Self {
            path: folder.join(NAME),
        }
    }

    /// What was remembered, or the usual with a sentence where that cannot be read; it is moved aside then.
    pub fn read(&self) -> (Preferences, Option<String>) {
        if !self.path.exists() {
            return (Preferences::default(), None);
        }
        let read = read_text(&self.path)
            .map_err(|e| e.to_string())
            .and_then(|text| {
                ron::from_str(&text).map_err(|e| format!("{}: {e}", self.path.display()))
            });
        match read {
            Ok(preferences) => (preferences, None),
            Err(reason) => {
                let aside = self.path.with_extension(UNREADABLE);
                let place = match fs::rename(&self.path, &aside) {
                    Ok(()) => format!("the file lies in {} now", aside.display()),
                    Err(_) => "the file is left as it is".to_owned(),
                };
                let words = format!(
                    "Preferences are as usual, since they cannot be read ({reason}); {place}"
                );
                (Preferences::default(), Some(words))
            }
        }
    }

    /// Keeps them; else why not.
    pub fn write(&self, preferences: &Preferences) -> Result<(), String> {
        let text = ron::ser::to_string_pretty(preferences, PrettyConfig::new())
            .map_err(|e| format!("{}: {e}", self.path.display()))?;
        if let Some(folder) = self.path.parent() {
            // If there can be none, the write says so.
            let _ = fs::create_dir_all(folder);
        }
        write_whole(&self.path, |file| file.write_all(text.as_bytes())).map_err(|e| e.to_string())
    }
}

/// Takes away what programs that are gone have left half written, in the program's folder and where files were
/// saved lately.
pub fn sweep(folder: &Path, preferences: &Preferences) {
    sweep_temporaries(folder);
    let mut folders: Vec<&Path> = preferences
        .recent
        .iter()
        .filter_map(|p| p.parent())
        .collect();
    folders.sort_unstable();
    folders.dedup();
    for folder in folders {
        sweep_temporaries(folder);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn preferences_come_back_and_those_that_cannot_be_read_are_moved_aside() {
        let folder = tempfile::tempdir().unwrap();
        let file = RememberedFile::of(&folder.path().join("of-its-own"));
        assert_eq!(file.read(), (Preferences::default(), None));
        let liked = Preferences {
            notice_read: true,
            speed: 4.0,
            recent: vec!["a.ron".into()],
            ..Preferences::default()
        };
        file.write(&liked).unwrap();
        assert_eq!(file.read(), (liked, None));
        fs::write(&file.path, "(notice_read: maybe").unwrap();
        let (preferences, words) = file.read();
        assert_eq!(preferences, Preferences::default());
        assert!(words.unwrap().contains("preferences.unreadable"));
        assert!(file.path.with_extension(UNREADABLE).exists() && !file.path.exists());
    }
}
