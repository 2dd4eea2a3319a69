//! The ranges of an anatomy's numbers.

use std::fmt::Display;

use crate::anatomy::file::FORMAT;
use crate::text::quoted;
use crate::{Anatomy, AnatomyError, Canal, Vec3};

impl Anatomy {
    /// Every number within its range, or the first that is not.
    pub(crate) fn check(&self) -> Result<(), AnatomyError> {
        if self.format != FORMAT {
            return Err(range("format", self.format, FORMAT));
        }
        for canal in Canal::ALL {
            self.check_canal(canal)?;
        }
        self.check_spreads()?;
        self.check_crus()?;
        self.check_places()?;
        for (i, semi) in self.utricle.semi_axes_mm.value.iter().enumerate() {
            within(&format!("utricle.semi_axes_mm[{}]", i + 1), *semi, 0.5, 4.0)?;
        }
        within("port_radius_mm", self.port_radius_mm.value, 0.2, 1.2)?;
        within(
            "cupula_thickness_mm",
            self.cupula_thickness_mm.value,
            0.05,
            0.8,
        )?;
        let opening = self.lateral_opening_radius_mm.value;
        within("lateral_opening_radius_mm", opening, 0.1, 0.8)?;
        within(
            "lateral_opening_length_mm",
            self.lateral_opening_length_mm.value,
            0.2,
            2.0,
        )?;
        within(
            "reid_pitch_nose_up_deg",
            self.reid_pitch_nose_up_deg.value,
            -30.0,
            30.0,
        )?;
        within(
            "outer_wall_offset_mm",
            self.outer_wall_offset_mm.value,
            0.0,
            0.5,
        )?;
        if let Some(wall) = &self.wall {
            let (resistance, gap) = (wall.rolling_resistance.value, wall.rolling_gap.value);
            within("wall.rolling_resistance", resistance, 0.0, 0.35)?;
            within("wall.rolling_gap", gap, 0.001, 0.2)?;
        }
        let turn_deg = self.turn_deg.as_ref().map_or([0.0; 3], |turn| turn.value);
        within("turn_deg (angle)", Vec3::from(turn_deg).norm(), 0.0, 45.0)
    }

    fn check_canal(&self, canal: Canal) -> Result<(), AnatomyError> {
        let c = self.canal(canal);
        let name = canal.name();
        check_axis(&format!("{name}.n_exc"), c.n_exc.value)?;
        check_axis(
            &format!("{name}.cupula_load_axis"),
            c.cupula_load_axis.value,
        )?;
        within(
            &format!("{name}.arc_radius_mm"),
            c.arc_radius_mm.value,
            1.0,
            6.0,
        )?;
        within(
            &format!("{name}.duct_radius_mm"),
            c.duct_radius_mm.value,
            0.05,
            0.5,
        )?;
        if let Some(far) = &c.far_arm_radius_mm {
            within(&format!("{name}.far_arm_radius_mm"), far.value, 0.05, 0.5)?;
        }
        within(
            &format!("{name}.ampulla_radius_mm"),
            c.ampulla_radius_mm.value,
            0.2,
            1.2,
        )?;
        within(
            &format!("{name}.ampulla_length_mm"),
            c.ampulla_length_mm.value,
            0.3,
            4.5,
        )?;
        within(
            &format!("{name}.cupula_angle_deg"),
            c.cupula_angle_deg.value,
            -90.0,
            330.0,
        )?;
        let crista_deg = self.crista_angle_deg(canal);
        within(
            &format!("{name}.crista_angle_deg"),
            crista_deg,
            -150.0,
            390.0,
        )?;
        Ok(())
    }

    fn check_crus(&self) -> Result<(), AnatomyError> {
        for (name, tilt_deg) in ["crus.tilt_back_deg", "crus.tilt_out_deg"]
            .into_iter()
            .zip(self.crus_tilt_deg())
        {
            within(name, tilt_deg, -30.0, 30.0)?;
        }
        within("crus.top_mm", self.crus.top_mm.value, 1.0, 5.0)?;
        within("crus.merge_mm", self.crus.merge_mm.value, 0.2, 2.0)?;
        within("crus.radius_mm", self.crus.radius_mm.value, 0.1, 0.6)?;
        within(
            "crus.bend_from_deg",
            self.crus.bend_from_deg.value,
            40.0,
            120.0,
        )?;
        Ok(())
    }

    fn check_places(&self) -> Result<(), AnatomyError> {
        let [x, y, z] = self.utricle.centre_mm.value;
        let [lateral_x, lateral_y] = self.lateral_centre_mm.value;
        let [room_x, room_y, room_z] = self.utricle_in_reid_mm.value;
        for (field, value, most) in [
            ("utricle.centre_mm[1]", x, 10.0),
            ("utricle.centre_mm[2]", y, 10.0),
            ("utricle.centre_mm[3]", z, 10.0),
            ("lateral_centre_mm[1]", lateral_x, 15.0),
            ("lateral_centre_mm[2]", lateral_y, 15.0),
            ("utricle_in_reid_mm[1]", room_x, 100.0),
            ("utricle_in_reid_mm[2]", room_y, 100.0),
            ("utricle_in_reid_mm[3]", room_z, 100.0),
        ] {
            within(field, value, -most, most)?;
        }
        within(
            "utricle.azimuth_deg",
            self.utricle.azimuth_deg.value,
            -180.0,
            180.0,
        )?;
        Ok(())
    }
}

fn within(field: &str, value: f64, least: f64, most: f64) -> Result<(), AnatomyError> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(range(field, value, format!("{least} to {most}")))
}

fn check_axis(field: &str, v: [f64; 3]) -> Result<(), AnatomyError> {
    let length = v.iter().map(|x| x * x).sum::<f64>().sqrt();
    within(&format!("{field} (length)"), length, 0.9, 1.1)
}

fn range(field: &str, found: impl Display, allowed: impl Display) -> AnatomyError {
    AnatomyError::Range {
        field: field.to_owned(),
        found: quoted(&found.to_string()),
        allowed: allowed.to_string(),
    }
}
