//! The ears that an `anatomy` names: shipped, from an anatomy file or from a centre-line table.

use std::path::Path;

use lithodrome_labyrinth::{Anatomy, Labyrinth};

use crate::error::{FieldError, RehearsalError};
use crate::files::read_text;

/// Both ears of a shipped anatomy, of an anatomy file (.ron) or of a centre-line table (.csv); relative
/// paths start from `base_dir`.
pub fn load_labyrinth(name_or_path: &str, base_dir: &Path) -> Result<Labyrinth, RehearsalError> {
    let file = Path::new(name_or_path);
    let built = if has_extension(file, "csv") {
        let name = file
            .file_stem()
            .map_or(name_or_path.into(), std::ffi::OsStr::to_string_lossy);
        Labyrinth::from_centre_lines(&name, &read_text(&base_dir.join(file))?)
    } else {
        Labyrinth::build(&load_anatomy(name_or_path, base_dir)?)
    };
    built.map_err(|error| RehearsalError::Anatomy {
        path: file.to_owned(),
        error,
    })
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
