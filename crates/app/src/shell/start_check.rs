//! Before the window opens: is there a display, the libraries to speak to it, a driver to draw with?
//!
//! The toolkit loads these libraries by name at run time and some of its parts panic where one is
//! missing; so they are looked for first, and what is missing is named with the package that holds it.

use std::{
    fmt, fs,
    path::{Path, PathBuf},
};

/// What the window talks to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Display {
    /// An X server (`DISPLAY`).
    X11,
    /// A Wayland compositor (`WAYLAND_DISPLAY` or `WAYLAND_SOCKET`).
    Wayland,
}

/// A library that is loaded by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Library {
    /// File name with the version of its interface.
    pub file: &'static str,
    /// Debian's package that holds it.
    pub package: &'static str,
}

const fn library(file: &'static str, package: &'static str) -> Library {
    Library { file, package }
}

const X11: [Library; 6] = [
    library("libX11.so.6", "libx11-6"),
    library("libX11-xcb.so.1", "libx11-xcb1"),
    library("libXcursor.so.1", "libxcursor1"),
    library("libXi.so.6", "libxi6"),
    library("libxkbcommon.so.0", "libxkbcommon0"),
    library("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
];

const WAYLAND: [Library; 2] = [
    library("libwayland-client.so.0", "libwayland-client0"),
    library("libxkbcommon.so.0", "libxkbcommon0"),
];

const VULKAN: Library = library("libvulkan.so.1", "libvulkan1");
const EGL: Library = library("libEGL.so.1", "libegl1");
/// Where the loader looks for descriptions of Vulkan drivers.
const VULKAN_DRIVERS: [&str; 3] = [
    "/usr/share/vulkan/icd.d",
    "/etc/vulkan/icd.d",
    "/usr/local/share/vulkan/icd.d",
];

/// Why the window cannot open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// Neither an X server nor a Wayland compositor is named.
    NoDisplay,
    /// Libraries of this display are not installed.
    Libraries(Display, Vec<Library>),
    /// Neither Vulkan with a driver nor OpenGL.
    Drawing {
        /// The Vulkan loader is there, its drivers are not.
        vulkan_loader: bool,
    },
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Missing::NoDisplay => write!(
                f,
                "There is no display: DISPLAY and WAYLAND_DISPLAY are not set. \
                 Start the window from a desktop, or under a virtual display (xvfb-run)."
            ),
            Missing::Libraries(display, libraries) => {
                let of = match display {
                    Display::X11 => "X11",
                    Display::Wayland => "Wayland",
                };
                let files: Vec<&str> = libraries.iter().map(|l| l.file).collect();
                let packages: Vec<&str> = libraries.iter().map(|l| l.package).collect();
                write!(
                    f,
                    "{of} needs {}, not found. Install: sudo apt-get install {}",
                    files.join(", "),
                    packages.join(" ")
                )
            }
            Missing::Drawing { vulkan_loader } => {
                let what = if *vulkan_loader {
                    "libvulkan.so.1 is there but no Vulkan driver"
                } else {
                    "neither libvulkan.so.1 (Vulkan) nor libEGL.so.1 (OpenGL) was found"
                };
                write!(
                    f,
                    "Nothing to draw with: {what}. \
                     Install: sudo apt-get install libvulkan1 mesa-vulkan-drivers \
                     (or libegl1 libgl1-mesa-dri)"
                )
            }
        }
    }
}

/// What works without a window.
pub const IN_A_TERMINAL: &str = "Without a window, a terminal can rehearse, check, study and print: \
    cargo run --release -p lithodrome-cli -- --help";

/// What the system offers, so that it can be asked about in a test.
pub struct System<'a> {
    /// An environment variable that is set and not empty.
    pub variable: &'a dyn Fn(&str) -> Option<String>,
    /// Whether a library can be found by its file name.
    pub has_library: &'a dyn Fn(&str) -> bool,
    /// Whether any Vulkan driver describes itself.
    pub has_vulkan_driver: bool,
}

/// Everything that would keep the window from opening; empty where nothing does.
pub fn missing(system: &System<'_>) -> Vec<Missing> {
    let set = |name: &str| (system.variable)(name).is_some();
    let wayland = set("WAYLAND_DISPLAY") || set("WAYLAND_SOCKET");
    let lacking = |wanted: &[Library]| -> Vec<Library> {
        let absent = wanted.iter().filter(|l| !(system.has_library)(l.file));
        absent.copied().collect()
    };
    let mut found = Vec::new();
    // Wayland is tried first, as the toolkit does; X11 serves where Wayland's libraries are missing.
    let by_wayland = wayland.then(|| lacking(&WAYLAND));
    let by_x11 = set("DISPLAY").then(|| lacking(&X11));
    match (by_wayland, by_x11) {
        (None, None) => found.push(Missing::NoDisplay),
        (Some(lacks), _) if lacks.is_empty() => {}
        (_, Some(lacks)) if lacks.is_empty() => {}
        (_, Some(lacks)) => found.push(Missing::Libraries(Display::X11, lacks)),
        (Some(lacks), None) => found.push(Missing::Libraries(Display::Wayland, lacks)),
    }
    let vulkan_loader = (system.has_library)(VULKAN.file);
    let vulkan = vulkan_loader && system.has_vulkan_driver;
    if !vulkan && !(system.has_library)(EGL.file) {
        found.push(Missing::Drawing { vulkan_loader });
    }
    found
}

/// Everything that would keep the window from opening on this machine.
pub fn missing_here() -> Vec<Missing> {
    if !cfg!(target_os = "linux") {
        return Vec::new();
    }
    let folders = library_folders();
    missing(&System {
        variable: &|name| std::env::var(name).ok().filter(|value| !value.is_empty()),
        has_library: &|file| folders.iter().any(|folder| folder.join(file).exists()),
        has_vulkan_driver: std::env::var_os("VK_DRIVER_FILES").is_some()
            || std::env::var_os("VK_ICD_FILENAMES").is_some()
            || VULKAN_DRIVERS
                .iter()
                .any(|folder| holds_a_file(Path::new(folder))),
    })
}

fn holds_a_file(folder: &Path) -> bool {
    fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some())
}

/// Where the loader looks: what the environment adds, the loader's own list, the usual folders.
fn library_folders() -> Vec<PathBuf> {
    let mut folders: Vec<PathBuf> = std::env::var_os("LD_LIBRARY_PATH")
        .map(|paths| std::env::split_paths(&paths).collect())
        .unwrap_or_default();
    folders.extend(listed_folders(Path::new("/etc/ld.so.conf.d")));
    for base in ["/lib", "/usr/lib", "/lib64", "/usr/lib64", "/usr/local/lib"] {
        folders.push(base.into());
        folders.push(Path::new(base).join(format!("{}-linux-gnu", std::env::consts::ARCH)));
    }
    folders
}

/// Folders that the files of the loader's configuration name, one a line.
fn listed_folders(configuration: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(configuration) else {
        return Vec::new();
    };
    entries
        .flatten()
        .filter_map(|entry| fs::read_to_string(entry.path()).ok())
        .flat_map(|text| {
            text.lines()
                .map(str::trim)
                .map(PathBuf::from)
                .collect::<Vec<_>>()
        })
        .filter(|path| path.is_absolute())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn here(variables: &[&str], libraries: &[Library], has_vulkan_driver: bool) -> Vec<Missing> {
        missing(&System {
            variable: &|name| variables.contains(&name).then(|| ":0".to_owned()),
            has_library: &|file| libraries.iter().any(|l| l.file == file),
            has_vulkan_driver,
        })
    }

    #[test]
    fn a_complete_desktop_lacks_nothing() {
        let x11 = [&X11[..], &[VULKAN]].concat();
        assert_eq!(here(&["DISPLAY"], &x11, true), []);
        let wayland = [&WAYLAND[..], &[EGL]].concat();
        assert_eq!(here(&["WAYLAND_DISPLAY"], &wayland, false), []);
    }

    #[test]
    fn a_missing_library_is_named_with_its_package() {
        let all_but_one: Vec<Library> = X11[..5].iter().copied().chain([VULKAN]).collect();
        let found = here(&["DISPLAY"], &all_but_one, true);
        assert_eq!(found, [Missing::Libraries(Display::X11, vec![X11[5]])]);
        assert_eq!(
            found[0].to_string(),
            "X11 needs libxkbcommon-x11.so.0, not found. \
             Install: sudo apt-get install libxkbcommon-x11-0"
        );
    }

    #[test]
    fn x11_serves_where_wayland_lacks_its_libraries() {
        let x11 = [&X11[..], &[EGL]].concat();
        assert_eq!(here(&["DISPLAY", "WAYLAND_DISPLAY"], &x11[..], false), []);
        let only_wayland = here(&["WAYLAND_DISPLAY"], &[EGL], false);
        assert_eq!(
            only_wayland,
            [Missing::Libraries(Display::Wayland, WAYLAND.to_vec())]
        );
    }

    #[test]
    fn no_display_and_no_driver_are_both_told() {
        let found = here(&[], &[VULKAN], false);
        assert_eq!(
            found,
            [
                Missing::NoDisplay,
                Missing::Drawing {
                    vulkan_loader: true
                }
            ]
        );
        assert!(found[1].to_string().contains("no Vulkan driver"));
    }
}
