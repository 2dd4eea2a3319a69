//! The ears that an `anatomy` names: shipped, from an anatomy file or from a centre-line table.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use lithodrome_labyrinth::{Anatomy, Labyrinth};

use crate::error::{FieldError, RehearsalError};
use crate::files::read_text;

/// Ears that have been built, so that the next scenario in the same ears need not wait for them. A file that
/// has changed is built anew.
#[derive(Debug, Default)]
pub struct EarsCache {
    built: Mutex<Vec<(Source, Arc<Labyrinth>)>>,
}

/// So many ears are kept, those that were asked for last.
const MOST: usize = 16;

/// What an `anatomy` names, as it was read.
#[derive(Clone, Debug, PartialEq)]
enum Source {
    Anatomy(Box<Anatomy>),
    CentreLines { name: String, table: String },
}

impl EarsCache {
    /// Both ears of a shipped anatomy, of an anatomy file (.ron) or of a centre-line table (.csv); relative
    /// paths start from `base_dir`. The same ears are the same [`Arc`].
    pub fn labyrinth(
        &self,
        name_or_path: &str,
        base_dir: &Path,
    ) -> Result<Arc<Labyrinth>, RehearsalError> {
        let source = read_source(name_or_path, base_dir)?;
        {
            let mut built = self.built.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(at) = built.iter().position(|(known, _)| *known == source) {
                let known = built.remove(at);
                let labyrinth = Arc::clone(&known.1);
                built.push(known);
                return Ok(labyrinth);
            }
        }
        let labyrinth = match &source {
            Source::Anatomy(anatomy) => Labyrinth::build(anatomy),
            Source::CentreLines { name, table } => Labyrinth::from_centre_lines(name, table),
        };
        let labyrinth = Arc::new(labyrinth.map_err(|error| RehearsalError::Anatomy {
            path: name_or_path.into(),
            error,
        })?);
        let mut built = self.built.lock().unwrap_or_else(PoisonError::into_inner);
        if built.len() >= MOST {
            built.remove(0);
        }
        built.push((source, Arc::clone(&labyrinth)));
        Ok(labyrinth)
    }
}

fn read_source(name_or_path: &str, base_dir: &Path) -> Result<Source, RehearsalError> {
    let file = Path::new(name_or_path);
    if !has_extension(file, "csv") {
        let anatomy = load_anatomy(name_or_path, base_dir)?;
        return Ok(Source::Anatomy(Box::new(anatomy)));
    }
    let stem = file.file_stem();
    Ok(Source::CentreLines {
        name: stem.map_or(name_or_path.into(), |s| s.to_string_lossy().into_owned()),
        table: read_text(&base_dir.join(file))?,
    })
}

/// Both ears that an `anatomy` names, built anew; see [`EarsCache::labyrinth`].
pub fn load_labyrinth(
    name_or_path: &str,
    base_dir: &Path,
) -> Result<Arc<Labyrinth>, RehearsalError> {
    EarsCache::default().labyrinth(name_or_path, base_dir)
}

fn has_extension(file: &Path, extension: &str) -> bool {
    file.extension().is_some_and(|e| e == extension)
}

/// A shipped anatomy by its name, or one from a file; relative paths start from `base_dir`.
pub fn load_anatomy(name_or_path: &str, base_dir: &Path) -> Result<Anatomy, RehearsalError> {
    let in_place = |path: &Path, error| RehearsalError::Anatomy {
        path: path.to_owned(),
        error,
    };
    if let Some(anatomy) = Anatomy::named(name_or_path) {
        return anatomy.map_err(|e| in_place(Path::new(name_or_path), e));
    }
    let file = Path::new(name_or_path);
    if !has_extension(file, "ron") {
        let names: Vec<_> = Anatomy::names().collect();
        let allowed = format!(
            "{}, or the path of a .ron file or a .csv table",
            names.join(", ")
        );
        let error = FieldError::new("anatomy", &format!("\"{name_or_path}\""), allowed);
        return Err(error.into());
    }
    let path = base_dir.join(file);
    Anatomy::from_ron(&read_text(&path)?).map_err(|e| in_place(&path, e))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_ears_are_built_once_and_a_changed_file_anew() {
        let folder = tempfile::tempdir().unwrap();
        let table = include_str!("../../../../assets/anatomies/example-centre-lines.csv");
        let path = folder.path().join("own.csv");
        std::fs::write(&path, table).unwrap();
        let ears = EarsCache::default();
        let own = ears.labyrinth("own.csv", folder.path()).unwrap();
        let mean = ears.labyrinth("mean-adult", folder.path()).unwrap();
        assert!(Arc::ptr_eq(
            &own,
            &ears.labyrinth("own.csv", folder.path()).unwrap()
        ));
        assert!(Arc::ptr_eq(
            &mean,
            &ears.labyrinth("mean-adult", Path::new("")).unwrap()
        ));
        std::fs::write(&path, format!("{table}\n")).unwrap();
        let changed = ears.labyrinth("own.csv", folder.path()).unwrap();
        assert!(!Arc::ptr_eq(&own, &changed));
    }
}
