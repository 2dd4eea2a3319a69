//! The file of the visit: written at every change, taken up by the next window, never lost.

use std::{
    io,
    path::{Path, PathBuf},
};

use lithodrome_visits::{Code, Date, Patient, VisitPlan, plan_from_ron, write_plan};

use crate::work::progress::Waker;

use super::{
    planning::planned,
    state::{Back, DayForm, Told, VisitState},
};

/// The file of the visit in its folder.
const PLAN: &str = "visit.ron";
/// What is put after its name when it cannot be taken up and was moved aside.
const UNREADABLE: &str = "unreadable";

impl VisitState {
    /// The visit as it now stands; what the window does not show of it (times, rim, how far off the middle)
    /// stays as it was read.
    pub(super) fn visit_of(&self, patients: Vec<Patient>) -> Result<VisitPlan, String> {
        let date = Date::new(&self.day.date).map_err(|e| e.to_string())?;
        let home = Code::new(&self.day.home).map_err(|e| format!("home: {e}"))?;
        Ok(match &self.as_read {
            Some(read) => VisitPlan {
                date,
                home,
                patients,
                ..read.clone()
            },
            None => VisitPlan::of(date, home, patients),
        })
    }

    /// Day and home can be written down.
    pub(super) fn day_is_sound(&self) -> bool {
        self.visit_of(Vec::new()).is_ok()
    }

    /// Writes the plan down, so that the next window finds it; without patients there is no file, unless it holds
    /// numbers of its own.
    pub(super) fn keep(&mut self) {
        if self.taking_up {
            return;
        }
        let kept = self.place().map_err(|e| e.to_string()).and_then(|folder| {
            let path = folder.join(PLAN);
            if self.file_stays {
                return Err(format!(
                    "{} is there already and can be neither taken up nor moved",
                    path.display()
                ));
            }
            if self.planned.is_empty() && !self.has_own_numbers() {
                return match std::fs::remove_file(&path) {
                    Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e.to_string()),
                    _ => Ok(()),
                };
            }
            let patients = self.planned.iter().map(|p| p.patient.clone());
            let visit = self.visit_of(patients.collect())?;
            std::fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
            write_plan(&visit, &path).map_err(|e| e.to_string())
        });
        if let Err(words) = kept {
            self.told = Some(Told::Failed(format!("The visit is not kept: {words}")));
        }
    }

    /// The file that was read says more than the usual times and the usual chair.
    fn has_own_numbers(&self) -> bool {
        self.as_read.as_ref().is_some_and(|read| {
            *read != VisitPlan::of(read.date.clone(), read.home.clone(), Vec::new())
        })
    }

    /// Takes up the visit that was kept; one that cannot be read is moved aside and told.
    pub(super) fn take_up(&mut self, waker: Waker) {
        self.taken_up = true;
        let Some(path) = self.place().ok().map(|folder| folder.join(PLAN)) else {
            return;
        };
        if !is_there(&path) {
            return;
        }
        match plan_from_ron(&path) {
            Ok(visit) => {
                self.day = DayForm {
                    date: visit.date.as_str().to_owned(),
                    home: visit.home.as_str().to_owned(),
                };
                self.as_read = Some(VisitPlan {
                    patients: Vec::new(),
                    ..visit.clone()
                });
                if visit.patients.is_empty() {
                    return;
                }
                self.taking_up = true;
                let words = "Planning for the visit that was kept";
                let planning = move || Back::Kept(planned(visit));
                self.errands.send(words, waker, planning);
            }
            Err(e) => self.set_aside(&e.to_string()),
        }
    }

    /// Moves the file aside, as it cannot be taken up, so that nothing is written over it; told with the reason.
    pub(super) fn set_aside(&mut self, reason: &str) {
        self.taking_up = false;
        self.as_read = None;
        let moved = self
            .place()
            .map_err(|e| e.to_string())
            .and_then(|folder| moved_aside(&folder.join(PLAN)).map_err(|e| e.to_string()));
        let place = match moved {
            Ok(aside) => format!("the file lies in {} now", aside.display()),
            Err(e) => {
                self.file_stays = true;
                format!("the file is left as it is ({e}), and nothing is kept beside it")
            }
        };
        self.told = Some(Told::Failed(format!(
            "The visit that was kept cannot be taken up ({reason}); {place}"
        )));
    }
}

/// Something has this name, be it a link that leads nowhere.
fn is_there(path: &Path) -> bool {
    path.symlink_metadata().is_ok()
}

/// Gives a file the first name beside it that is not there yet: "visit.ron.unreadable", "visit.ron.unreadable-2".
fn moved_aside(path: &Path) -> io::Result<PathBuf> {
    let name = |i: u32| {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".{UNREADABLE}"));
        if i > 1 {
            name.push(format!("-{i}"));
        }
        PathBuf::from(name)
    };
    let mut i = 1;
    while is_there(&name(i)) {
        i += 1;
    }
    std::fs::rename(path, name(i))?;
    Ok(name(i))
}

#[cfg(test)]
mod tests {
    use std::{sync::Arc, time::Duration};

    use super::*;

    const SHIPPED: &str = include_str!("../../../../assets/visits/kestrel-valley.ron");

    fn taken_up(folder: &Path) -> VisitState {
        let mut visit = VisitState {
            folder: Some(folder.to_owned()),
            ..VisitState::default()
        };
        visit.take_up(Arc::new(|| {}));
        while visit.under_way().is_some() {
            visit.take_back();
            std::thread::sleep(Duration::from_millis(5));
        }
        visit
    }

    fn set_day(visit: &mut VisitState, date: &str) {
        date.clone_into(&mut visit.day.date);
        visit.keep();
    }

    fn told(visit: &VisitState) -> String {
        match &visit.told {
            Some(Told::Failed(words)) => words.clone(),
            other => panic!("{other:?}"),
        }
    }

    /// Neither a text that is no visit nor a visit that cannot be planned is removed or written over.
    #[test]
    fn a_visit_that_cannot_be_taken_up_is_moved_aside_and_told() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join(PLAN);
        let too_heavy = SHIPPED.replacen("weight_kg: 62.0", "weight_kg: 620.0", 1);
        assert_ne!(too_heavy, SHIPPED);
        let spoilt = [
            ("(format: 1, date: ", "visit.ron.unreadable", PLAN),
            (
                &too_heavy,
                "visit.ron.unreadable-2",
                "weight_kg: found 620, allowed is 20 to 250 kg",
            ),
        ];
        for (text, aside, words) in spoilt {
            std::fs::write(&file, text).unwrap();
            let mut visit = taken_up(folder.path());
            let told = told(&visit);
            assert!(told.contains(words) && told.contains(aside), "{told}");
            assert!(visit.planned.is_empty());
            set_day(&mut visit, "2026-06-02");
            assert!(!file.exists(), "nobody is planned");
            let kept = std::fs::read_to_string(folder.path().join(aside)).unwrap();
            assert_eq!(kept, text, "as it was");
        }
    }

    /// Where the file cannot be moved aside it stays, and nothing is kept in its place.
    #[test]
    fn what_cannot_be_moved_is_neither_removed_nor_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let mut visit = VisitState {
            folder: Some(folder.path().to_owned()),
            ..VisitState::default()
        };
        // Nothing is there to be moved: as where the folder is read-only.
        visit.set_aside("for a test");
        let file = folder.path().join(PLAN);
        std::fs::write(&file, "somebody's").unwrap();
        set_day(&mut visit, "2026-06-02");
        assert!(told(&visit).contains("is not kept"));
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "somebody's");
    }

    /// Times, rim and the place off the middle are no fields of the window: they stay as they were read, with
    /// patients and without.
    #[test]
    fn what_the_window_does_not_show_stays_as_it_was_read() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join(PLAN);
        let mut read = plan_from_ron(&asset()).unwrap();
        read.patients.truncate(1);
        (read.seating_min, read.changing_min) = (11.0, 7.0);
        (read.rim_radius_cm, read.rim_force_n, read.off_cm) = (88.0, 33.0, 1.5);
        write_plan(&read, &file).unwrap();
        let mut visit = taken_up(folder.path());
        assert_eq!(visit.planned.len(), 1);
        set_day(&mut visit, "2026-06-02");
        read.date = Date::new("2026-06-02").unwrap();
        assert_eq!(plan_from_ron(&file).unwrap(), read);
        visit.planned.clear();
        visit.keep();
        read.patients.clear();
        assert_eq!(plan_from_ron(&file).unwrap(), read);
        // The next window takes up the numbers alone.
        let next = taken_up(folder.path());
        assert_eq!((next.told, next.as_read), (None, Some(read)));
    }

    fn asset() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/visits/kestrel-valley.ron")
    }
}
