//! The published plane studies, mixed by how many ears each measured.

use lithodrome_labyrinth::{Anatomy, AnatomyError, Canal, CanalAnatomy, Vec3};

/// Shipped anatomies and how many labyrinths their study measured: Della Santina 2005, J Assoc Res
/// Otolaryngol 6:191 (44), Wu 2021, Front Neurol 12:741948 (110), Blanks 1975, Acta Otolaryngol 80:185 (20).
const STUDIES: [(&str, f64); 3] = [
    ("mean-adult", 44.0),
    ("wu-2021", 110.0),
    ("blanks-1975", 20.0),
];

/// The anatomies of the plane studies.
#[derive(Clone, Debug)]
pub struct Planes {
    studies: Vec<(Anatomy, f64)>,
}

impl Planes {
    /// The shipped ones.
    ///
    /// # Errors
    /// None with the shipped files.
    pub fn published() -> Result<Planes, AnatomyError> {
        let studies = STUDIES
            .iter()
            .filter_map(|(name, n)| Some(Anatomy::named(name)?.map(|anatomy| (anatomy, *n))))
            .collect::<Result<_, _>>()?;
        Ok(Planes { studies })
    }

    /// The study in whose part of all ears a share (0 to 1) falls.
    pub fn of_share(&self, share: f64) -> &Anatomy {
        let all: f64 = self.studies.iter().map(|(_, n)| n).sum();
        let mut left = share * all;
        for (anatomy, n) in &self.studies {
            if left < *n {
                return anatomy;
            }
            left -= n;
        }
        &self.studies[self.studies.len() - 1].0
    }

    /// The mean axes of all studies, by their n, in the construction of the one with most ears.
    pub fn mean(&self) -> Anatomy {
        let mut mean = self.of_share(0.5).clone();
        "mean of three plane studies".clone_into(&mut mean.name);
        for canal in Canal::ALL {
            let axis = self.mean_axis(canal, |c| c.n_exc.value);
            let load = self.mean_axis(canal, |c| c.cupula_load_axis.value);
            let c = match canal {
                Canal::Anterior => &mut mean.anterior,
                Canal::Lateral => &mut mean.lateral,
                Canal::Posterior => &mut mean.posterior,
            };
            c.n_exc.value = axis;
            "mean of Della Santina 2005, Wu 2021 and Blanks 1975 by their 44, 110 and 20 labyrinths"
                .clone_into(&mut c.n_exc.source);
            c.n_exc.how = lithodrome_labyrinth::How::Derived;
            c.cupula_load_axis.value = load;
        }
        mean
    }

    fn mean_axis(&self, canal: Canal, axis: impl Fn(&CanalAnatomy) -> [f64; 3]) -> [f64; 3] {
        let sum: Vec3 = self
            .studies
            .iter()
            .map(|(anatomy, n)| Vec3::from(axis(anatomy.canal(canal))).normalize() * *n)
            .sum();
        sum.normalize().into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_those_of_the_labyrinths_measured() {
        let planes = Planes::published().unwrap();
        let n = 1740;
        let of = |name: &str| {
            (0..n)
                .filter(|i| planes.of_share((f64::from(*i) + 0.5) / f64::from(n)).name == name)
                .count()
        };
        assert_eq!(
            ["mean-adult", "wu-2021", "blanks-1975"].map(of),
            [440, 1100, 200]
        );
    }

    #[test]
    fn the_mean_axis_lies_between_the_studies() {
        let planes = Planes::published().unwrap();
        let mean = planes.mean();
        for canal in Canal::ALL {
            let axis = Vec3::from(mean.canal(canal).n_exc.value);
            assert!((axis.norm() - 1.0).abs() < 1e-12);
            for (study, _) in &planes.studies {
                let its = Vec3::from(study.canal(canal).n_exc.value).normalize();
                assert!(axis.angle(&its).to_degrees() < 12.0, "{}", study.name);
            }
        }
    }
}
