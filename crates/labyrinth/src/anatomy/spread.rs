//! The spreads and ranges that an anatomy gives of its numbers: finite, and the right way round.

use super::sourced::Sourced;
use crate::{Anatomy, AnatomyError, Canal};

/// No spread and no end of a range is beyond this, in any unit.
const MOST: f64 = 1e4;

/// One number with its spread and range, of an array number by number.
struct Given {
    field: String,
    sd: Option<f64>,
    range: Option<[f64; 2]>,
}

impl Anatomy {
    /// The first spread or range that cannot be.
    pub(super) fn check_spreads(&self) -> Result<(), AnatomyError> {
        for Given { field, sd, range } in self.given() {
            if let Some(sd) = sd.filter(|sd| !(0.0..=MOST).contains(sd)) {
                return Err(refused(
                    &field,
                    "sd",
                    sd.to_string(),
                    format!("0 to {MOST}"),
                ));
            }
            let Some([least, most]) = range else { continue };
            let bounded = [least, most].iter().all(|end| end.abs() <= MOST);
            if !bounded || least > most {
                let allowed = format!("the lesser first, both from -{MOST} to {MOST}");
                let found = format!("{least} to {most}");
                return Err(refused(&field, "range", found, allowed));
            }
        }
        Ok(())
    }

    fn given(&self) -> Vec<Given> {
        let mut all = Vec::new();
        for canal in Canal::ALL {
            let c = self.canal(canal);
            let mut add = |field: &str, given: &Sourced<f64>| {
                all.push(one(&format!("{}.{field}", canal.name()), given));
            };
            add("arc_radius_mm", &c.arc_radius_mm);
            add("duct_radius_mm", &c.duct_radius_mm);
            add("ampulla_radius_mm", &c.ampulla_radius_mm);
            add("ampulla_length_mm", &c.ampulla_length_mm);
            add("cupula_angle_deg", &c.cupula_angle_deg);
            for (field, given) in [
                ("far_arm_radius_mm", &c.far_arm_radius_mm),
                ("crista_angle_deg", &c.crista_angle_deg),
            ] {
                if let Some(given) = given {
                    add(field, given);
                }
            }
            all.extend(some(&format!("{}.n_exc", canal.name()), &c.n_exc));
            let axis = format!("{}.cupula_load_axis", canal.name());
            all.extend(some(&axis, &c.cupula_load_axis));
        }
        for (field, given) in [
            ("lateral_opening_radius_mm", &self.lateral_opening_radius_mm),
            ("lateral_opening_length_mm", &self.lateral_opening_length_mm),
            ("crus.top_mm", &self.crus.top_mm),
            ("crus.merge_mm", &self.crus.merge_mm),
            ("crus.radius_mm", &self.crus.radius_mm),
            ("crus.bend_from_deg", &self.crus.bend_from_deg),
            ("utricle.azimuth_deg", &self.utricle.azimuth_deg),
            ("port_radius_mm", &self.port_radius_mm),
            ("cupula_thickness_mm", &self.cupula_thickness_mm),
            ("reid_pitch_nose_up_deg", &self.reid_pitch_nose_up_deg),
            ("outer_wall_offset_mm", &self.outer_wall_offset_mm),
        ] {
            all.push(one(field, given));
        }
        let wall = self.wall.as_ref();
        for (field, given) in [
            ("crus.tilt_back_deg", self.crus.tilt_back_deg.as_ref()),
            ("crus.tilt_out_deg", self.crus.tilt_out_deg.as_ref()),
            (
                "wall.rolling_resistance",
                wall.map(|w| &w.rolling_resistance),
            ),
            ("wall.rolling_gap", wall.map(|w| &w.rolling_gap)),
        ] {
            all.extend(given.map(|given| one(field, given)));
        }
        all.extend(some("lateral_centre_mm", &self.lateral_centre_mm));
        all.extend(some("utricle.centre_mm", &self.utricle.centre_mm));
        all.extend(some("utricle.semi_axes_mm", &self.utricle.semi_axes_mm));
        all.extend(some("utricle_in_reid_mm", &self.utricle_in_reid_mm));
        let turn = self.turn_deg.iter();
        all.extend(turn.flat_map(|turn| some("turn_deg", turn)));
        all
    }
}

fn one(field: &str, given: &Sourced<f64>) -> Given {
    Given {
        field: field.to_owned(),
        sd: given.sd,
        range: given.range,
    }
}

fn some<const N: usize>(field: &str, given: &Sourced<[f64; N]>) -> Vec<Given> {
    let number = |i: usize| Given {
        field: format!("{field}[{}]", i + 1),
        sd: given.sd.map(|sd| sd[i]),
        range: given.range.map(|ends| ends.map(|end| end[i])),
    };
    (0..N).map(number).collect()
}

fn refused(field: &str, what: &str, found: String, allowed: String) -> AnatomyError {
    AnatomyError::Range {
        field: format!("{field}.{what}"),
        found,
        allowed,
    }
}

#[cfg(test)]
mod tests {
    use crate::Anatomy;

    const TEXT: &str = include_str!("../../../../assets/anatomies/typical-adult.ron");

    fn refused(from: &str, to: &str) -> String {
        let text = TEXT.replace("\r\n", "\n");
        assert!(text.contains(from), "{from}");
        let read = Anatomy::from_ron(&text.replacen(from, to, 1));
        read.expect_err("it is to be refused").to_string()
    }

    #[test]
    fn spreads_and_ranges_are_finite_and_the_right_way_round() {
        // The first assumed number of the file is the crista of the anterior canal.
        for bad in ["inf", "NaN", "-0.1"] {
            let words = refused("how: Assumed,", &format!("how: Assumed, sd: {bad},"));
            assert!(words.contains("crista_angle_deg.sd: found"), "{words}");
        }
        let words = refused("how: Assumed,", "how: Assumed, range: (3.0, 1.0),");
        assert!(words.contains("range: found 3 to 1"), "{words}");
        let words = refused("how: Assumed,", "how: Assumed, range: (1.0, inf),");
        assert!(words.contains("range: found 1 to inf"), "{words}");
    }

    #[test]
    fn an_unknown_word_is_told_with_the_nearest() {
        let words = refused("how: Assumed,", "how: Assume,");
        assert!(words.contains("did you mean Assumed?"), "{words}");
        let words = refused("how: Assumed,", "hows: Assumed,");
        assert!(words.contains("did you mean how?"), "{words}");
    }
}
