//! One set of values of the unknown numbers, and what it makes of an anatomy and of the debris.

use lithodrome_debris::{Matter, Rolling, VestibuleHold};
use lithodrome_labyrinth::{Anatomy, Canal, CanalAnatomy, How, Sourced, WallAnatomy};

use super::unknown::Unknown;

/// What stands where the source of a number would.
const MATCHED: &str = "history matching over published outcomes";

/// Values of all unknown numbers, `[unknown of Unknown::ALL]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// In the unit that each name gives.
    pub values: Vec<f64>,
}

impl Member {
    /// The member at a place in the unit cube of the ranges, `[unknown]`.
    pub fn at(unit: &[f64]) -> Member {
        let values = Unknown::ALL.iter().zip(unit).map(|(unknown, u)| {
            let range = unknown.range();
            range.least + (range.most - range.least) * u
        });
        Member {
            values: values.collect(),
        }
    }

    /// Its place in the unit cube, `[unknown]`.
    pub fn unit(&self) -> Vec<f64> {
        let units = Unknown::ALL.iter().zip(&self.values).map(|(unknown, v)| {
            let range = unknown.range();
            (v - range.least) / (range.most - range.least)
        });
        units.collect()
    }

    /// One of its values.
    pub fn value(&self, unknown: Unknown) -> f64 {
        self.values[unknown.index()]
    }

    /// Gap under a rolling body, over its radius.
    pub fn rolling_gap(&self) -> f64 {
        10.0_f64.powf(self.value(Unknown::RollingGap))
    }

    /// What its debris is made of.
    pub fn matter(&self) -> Matter {
        Matter {
            rolling: Rolling::at_gap(self.rolling_gap())
                .resisting(self.value(Unknown::RollingResistance)),
            ..Matter::default()
        }
    }

    /// What holds its debris once that is out of the canal; it sets too slowly to matter while a
    /// manoeuvre lasts.
    pub fn vestibule_hold(&self) -> VestibuleHold {
        VestibuleHold {
            sets_s: self.value(Unknown::VestibuleSets),
            ..VestibuleHold::default()
        }
    }

    /// An anatomy as it was before this member was applied to it, in what a member changes and does not replace:
    /// the calibre of the ducts and the places of two cupulae, where their source says that history matching
    /// chose them. Other anatomies stay as they are.
    pub fn taken_from(&self, anatomy: &Anatomy) -> Anatomy {
        let mut before = anatomy.clone();
        for canal in Canal::ALL {
            let c = canal_of(&mut before, canal);
            if is_matched(&c.duct_radius_mm) {
                c.duct_radius_mm.value /= self.value(Unknown::DuctCalibre);
            }
            if let Some(added) = added_to_cupula(canal)
                && is_matched(&c.cupula_angle_deg)
            {
                let added_deg = self.value(added);
                c.cupula_angle_deg.value -= added_deg;
                if let Some(crista) = crista_beside(c, canal) {
                    crista.value -= added_deg;
                }
            }
        }
        before
    }

    /// The anatomy with its numbers of the ear; the planes stay. One that another member was applied to must
    /// be what that one was [`Member::taken_from`].
    pub fn applied_to(&self, planes: &Anatomy) -> Anatomy {
        let mut ear = planes.clone();
        let set = |number: &mut Sourced<f64>, value: f64| {
            *number = matched(value);
        };
        for canal in Canal::ALL {
            let c = canal_of(&mut ear, canal);
            let duct_mm = c.duct_radius_mm.value * self.value(Unknown::DuctCalibre);
            set(&mut c.duct_radius_mm, duct_mm);
            set(&mut c.ampulla_radius_mm, self.value(Unknown::AmpullaRadius));
            set(&mut c.ampulla_length_mm, self.value(Unknown::AmpullaLength));
            let cupula_deg = match added_to_cupula(canal) {
                Some(added) => {
                    if let Some(crista) = crista_beside(c, canal) {
                        crista.value += self.value(added);
                    }
                    c.cupula_angle_deg.value + self.value(added)
                }
                None => self.value(Unknown::PosteriorCupula),
            };
            set(&mut c.cupula_angle_deg, cupula_deg);
        }
        set(&mut ear.crus.radius_mm, self.value(Unknown::CrusRadius));
        set(&mut ear.crus.top_mm, self.value(Unknown::CrusLength));
        ear.crus.tilt_back_deg = Some(matched(self.value(Unknown::CrusTilt)));
        ear.wall = Some(WallAnatomy {
            rolling_resistance: matched(self.value(Unknown::RollingResistance)),
            rolling_gap: matched(self.rolling_gap()),
        });
        set(
            &mut ear.reid_pitch_nose_up_deg,
            self.value(Unknown::HeadPitch),
        );
        ear
    }

    /// Mean number of clumps in a canal.
    pub fn mean_count(&self, canal: Canal) -> f64 {
        self.value(match canal {
            Canal::Anterior | Canal::Posterior => Unknown::VerticalCount,
            Canal::Lateral => Unknown::LateralCount,
        })
    }

    /// How far apart two members are: the root mean square difference in the unit cube.
    pub fn distance(&self, other: &Member) -> f64 {
        let (a, b) = (self.unit(), other.unit());
        let sum: f64 = a.iter().zip(&b).map(|(x, y)| (x - y).powi(2)).sum();
        (sum / a.len() as f64).sqrt()
    }
}

fn matched<T>(value: T) -> Sourced<T> {
    Sourced::new(value, MATCHED, How::Calibrated)
}

/// Whether history matching chose a number, or an ear was drawn about one that it chose.
fn is_matched<T>(number: &Sourced<T>) -> bool {
    number.source.ends_with(MATCHED)
}

/// What a member adds to the place of a cupula; the posterior one's it replaces.
const fn added_to_cupula(canal: Canal) -> Option<Unknown> {
    match canal {
        Canal::Anterior => Some(Unknown::AnteriorCupula),
        Canal::Lateral => Some(Unknown::LateralCupula),
        Canal::Posterior => None,
    }
}

/// How the crista stands where that goes with the place of its cupula, as the anterior one's does: nobody has
/// measured it.
fn crista_beside(c: &mut CanalAnatomy, canal: Canal) -> Option<&mut Sourced<f64>> {
    let goes_with_its_place = canal == Canal::Anterior;
    c.crista_angle_deg.as_mut().filter(|_| goes_with_its_place)
}

fn canal_of(anatomy: &mut Anatomy, canal: Canal) -> &mut CanalAnatomy {
    match canal {
        Canal::Anterior => &mut anatomy.anterior,
        Canal::Lateral => &mut anatomy.lateral,
        Canal::Posterior => &mut anatomy.posterior,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::members::plausible_set::PlausibleSet;
    use lithodrome_labyrinth::Draw;

    use crate::members::planes::mean_planes;

    /// The typical ear holds the most central set already: that set gives it again, and any other set gives
    /// what it gave about the anatomy that the sets were matched with, in the same planes.
    #[test]
    fn a_set_takes_the_place_of_the_one_that_the_typical_ear_holds() {
        let members = PlausibleSet::shipped().unwrap().members();
        let [typical, mean] =
            ["typical-adult", "mean-adult"].map(|name| Anatomy::named(name).unwrap().unwrap());
        let before = members[0].taken_from(&typical);
        // The anterior cupula makes room for the lateral one anew in every plane, and its crista goes with it.
        let near = |a: &Anatomy, b: &Anatomy, anterior_deg: f64| {
            for canal in Canal::ALL {
                let [x, y] = [a, b].map(|anatomy| {
                    let c = anatomy.canal(canal);
                    let places = [c.cupula_angle_deg.value, anatomy.crista_angle_deg(canal)];
                    (c.duct_radius_mm.value, c.ampulla_radius_mm.value, places)
                });
                assert!((x.0 - y.0).abs() < 1e-6, "{canal:?}: {x:?} and {y:?}");
                assert!((x.1 - y.1).abs() < 0.005, "{canal:?}: {x:?} and {y:?}");
                let within_deg = if canal == Canal::Anterior {
                    anterior_deg
                } else {
                    1e-6
                };
                for (x, y) in x.2.into_iter().zip(y.2) {
                    assert!((x - y).abs() < within_deg, "{canal:?}: {x} and {y}");
                }
            }
        };
        near(&members[0].applied_to(&before), &typical, 1e-6);
        let about = Draw {
            planes: Some(mean_planes()),
            ..Draw::NONE
        };
        let mut told = 0;
        for member in members.iter().step_by(20) {
            let ears = [&before, &mean].map(|base| about.apply(&member.applied_to(base)));
            let [Ok(ours), Ok(matched)] = ears else {
                continue;
            };
            near(&ours, &matched, 1.5);
            told += 1;
        }
        assert!(told > 8, "{told}");
        // An anatomy that no set was applied to stays.
        assert_eq!(members[0].taken_from(&mean), mean);
    }

    #[test]
    fn a_member_reaches_every_number_it_names() {
        let low = Member::at(&[0.0; Unknown::ALL.len()]);
        let high = Member::at(&[1.0; Unknown::ALL.len()]);
        assert!(low.distance(&high) > 0.999);
        let mean = Anatomy::named("mean-adult").unwrap().unwrap();
        let (a, b) = (low.applied_to(&mean), high.applied_to(&mean));
        for canal in Canal::ALL {
            let (a, b) = (a.canal(canal), b.canal(canal));
            assert!((b.duct_radius_mm.value / a.duct_radius_mm.value - 1.25 / 0.8).abs() < 1e-12);
            assert!(a.ampulla_length_mm.value < b.ampulla_length_mm.value);
            assert!(a.cupula_angle_deg.value < b.cupula_angle_deg.value);
            assert_eq!(a.n_exc, mean.canal(canal).n_exc);
        }
        assert!(a.crus.radius_mm.value < b.crus.radius_mm.value);
        assert!(low.matter().rolling.resistance < high.matter().rolling.resistance);
        assert!(low.matter().rolling.mobility < high.matter().rolling.mobility);
    }
}
