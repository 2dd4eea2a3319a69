//! `anatomy`: a labyrinth measured, beside what was published.

use std::path::Path;

use comfy_table::{Table, presets::UTF8_HORIZONTAL_ONLY};
use lithodrome_rehearsal::{AnatomyReport, anatomy_report, load_labyrinth};

use crate::output::{Failures, fitting, print, print_json};

/// Options of `anatomy`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Name of a shipped anatomy, or the path of an anatomy file (.ron) or a centre-line table (.csv)
    #[arg(default_value = "mean-adult", value_name = "NAME|FILE")]
    name: String,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

/// Builds and measures one anatomy.
pub(crate) fn run(args: &Args) -> Result<(), Failures> {
    let labyrinth = load_labyrinth(&args.name, Path::new("")).map_err(|e| Failures::one(&e))?;
    let report = anatomy_report(&labyrinth);
    if args.json {
        return print_json(&report);
    }
    print(&format!(
        "Anatomy {}, Reid's plane {:.1}° nose up in the headrest\n\n\
         Canals; axis of the head rotation that excites (Reid axes: forward, left, up)\n{}\n\n\
         Angles between the axes of one ear\n{}\n\n\
         Tilts and volumes of the canals\n{}\n\n\
         Crus and utricle\n{}\n\n\
         Published sizes and tilts\n{}\n",
        report.name,
        report.reid_pitch_nose_up_deg,
        canals_table(&report),
        angles_table(&report),
        sizes_table(&report),
        vestibule_table(&report),
        published_table(&report)
    ))
}

fn canals_table(report: &AnatomyReport) -> Table {
    let mut table = Table::new();
    fitting(&mut table)
        .load_preset(UTF8_HORIZONTAL_ONLY)
        .set_header([
            "canal",
            "axis",
            "arc radius mm",
            "duct length mm",
            "duct radius mm",
            "off its plane mm",
        ]);
    for canal in &report.canals {
        let [x, y, z] = canal.n_exc;
        table.add_row([
            format!("{} {}", canal.ear, canal.canal),
            format!("{x:8.5} {y:8.5} {z:8.5}"),
            format!("{:.2}", canal.arc_radius_mm),
            format!("{:.2}", canal.duct_length_mm),
            format!("{:.3}", canal.duct_radius_mm),
            format!("{:.4}", canal.plane_fit_residual_mm),
        ]);
    }
    table
}

fn angles_table(report: &AnatomyReport) -> Table {
    let mut table = Table::new();
    fitting(&mut table)
        .load_preset(UTF8_HORIZONTAL_ONLY)
        .set_header([
            "",
            "anterior–lateral",
            "anterior–posterior",
            "lateral–posterior",
        ]);
    for three in report.angles_deg.chunks(3) {
        let name = three.first().map_or("", |a| a.ear);
        let cells = three.iter().map(|a| format!("{:.1}°", a.deg));
        table.add_row(std::iter::once(format!("{name} ear, here")).chain(cells));
    }
    for three in report.published_deg.chunks(3) {
        let source = three
            .first()
            .map_or_else(String::new, |p| format!("{}, n = {}", p.source, p.n));
        let cells = three.iter().map(|p| match p.sd {
            Some(sd) => format!("{:.1} ± {sd:.1}°", p.deg),
            None => format!("{:.1}°", p.deg),
        });
        table.add_row(std::iter::once(source).chain(cells));
    }
    table
}

fn table<const N: usize>(header: [&str; N]) -> Table {
    let mut table = Table::new();
    fitting(&mut table)
        .load_preset(UTF8_HORIZONTAL_ONLY)
        .set_header(header);
    table
}

fn sizes_table(report: &AnatomyReport) -> Table {
    let mut table = table([
        "canal",
        "to Reid's plane",
        "to the ground, upright",
        "ampulla radius mm",
        "ampulla mm³",
        "duct mm³",
    ]);
    for canal in &report.canals {
        table.add_row([
            format!("{} {}", canal.ear, canal.canal),
            format!("{:.1}°", canal.tilt_to_reid_deg),
            format!("{:.1}°", canal.tilt_upright_deg),
            format!("{:.2}", canal.ampulla_radius_mm),
            format!("{:.3}", canal.ampulla_volume_mm3),
            format!("{:.3}", canal.duct_volume_mm3),
        ]);
    }
    table
}

fn vestibule_table(report: &AnatomyReport) -> Table {
    let mut table = table(["part", "length mm", "radius mm", "volume mm³"]);
    let v = &report.vestibule;
    table.add_row([
        "common crus".to_owned(),
        format!("{:.2}", v.crus_length_mm),
        format!("{:.3}", v.crus_radius_mm),
        format!("{:.3}", v.crus_volume_mm3),
    ]);
    let [long, wide, high] = v.utricle_semi_axes_mm;
    table.add_row([
        "utricle".to_owned(),
        format!("{:.2}", 2.0 * long),
        format!("{wide:.2}, {high:.2}"),
        format!("{:.1}", v.utricle_volume_mm3),
    ]);
    table
}

fn published_table(report: &AnatomyReport) -> Table {
    let mut table = table(["what", "part", "published", "source"]);
    for p in &report.published {
        let value = match p.sd {
            Some(sd) => format!("{} ± {sd} {}", p.value, p.unit),
            None => format!("{} {}", p.value, p.unit),
        };
        let source = if p.from_memory {
            format!("{} (from memory)", p.source)
        } else {
            p.source.to_owned()
        };
        table.add_row([p.what, p.part, &value, &source]);
    }
    table
}
