//! `lithodrome [FILE]`: opens the window.

use std::{path::PathBuf, process::ExitCode};

use clap::Parser;
use lithodrome_app::{
    shell::{app::App, start_check},
    work::stage_data::Origin,
};

/// A model of debris in the semicircular canals and of a two-axis chair that moves it.
/// For teaching and planning; not a medical device.
#[derive(Parser)]
#[command(name = "lithodrome", version)]
struct Arguments {
    /// Scenario file to open (.ron); without it, a whole-body Epley for the right posterior canal.
    file: Option<PathBuf>,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let missing = start_check::missing_here();
    if !missing.is_empty() {
        for what in missing {
            eprintln!("{what}");
        }
        eprintln!("{}", start_check::IN_A_TERMINAL);
        return ExitCode::FAILURE;
    }
    let first = arguments.file.map_or(Origin::Shipped, Origin::File);
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id(lithodrome_app::APP_ID)
            .with_title("Lithodrome")
            .with_inner_size([1440.0, 900.0])
            .with_min_inner_size([960.0, 640.0]),
        ..eframe::NativeOptions::default()
    };
    let opened = eframe::run_native(
        "Lithodrome",
        options,
        Box::new(|cc| Ok(Box::new(App::new(cc, first)))),
    );
    match opened {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!(
                "The window cannot be opened: {error}\n\
                 WAYLAND_DISPLAY= (empty) tries X11 instead of Wayland; WGPU_BACKEND=gl tries OpenGL.\n\
                 {}",
                start_check::IN_A_TERMINAL
            );
            ExitCode::FAILURE
        }
    }
}
