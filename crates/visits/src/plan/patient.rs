//! A patient as a visit is planned for him.

use lithodrome_labyrinth::{Canal, CanalId, Ear};
use lithodrome_rehearsal::{Limits, Mechanism, NeckLimits, check_limits};
use serde::{Deserialize, Serialize};

use super::caution::{Caution, tightest};
use crate::log::Code;

/// One patient.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Patient {
    /// His neutral code.
    pub code: Code,
    /// Weight.
    pub weight_kg: f64,
    /// Height.
    pub height_cm: f64,
    /// What is suspected; empty if unknown. The treatments are planned in this order.
    #[serde(default)]
    pub suspected: Vec<Suspected>,
    /// How far the neck goes.
    #[serde(default)]
    pub neck: NeckLimits,
    /// How far back the trunk can be laid on a bed, degrees from sitting; 90 is flat.
    #[serde(default = "flat")]
    pub back_recline_deg: f64,
    /// What to be careful of.
    #[serde(default)]
    pub cautions: Vec<Caution>,
    /// Limits tighter than those that follow from the cautions; a looser one is not heard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<Limits>,
}

fn flat() -> f64 {
    90.0
}

/// A suspected canal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Suspected {
    /// Side.
    pub ear: Ear,
    /// Canal.
    pub canal: Canal,
    /// Where in it, if that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mechanism: Option<Mechanism>,
}

impl Suspected {
    /// The canal.
    pub fn id(self) -> CanalId {
        CanalId {
            ear: self.ear,
            canal: self.canal,
        }
    }
}

/// A value of a patient that cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("patient {code}: {field}: found {found}, allowed is {allowed}")]
pub struct PatientError {
    /// Whose.
    pub code: String,
    /// The field.
    pub field: String,
    /// The value.
    pub found: String,
    /// What would be right.
    pub allowed: String,
}

impl Patient {
    /// What this patient allows: the tightest of what each caution forbids and of his own limits.
    pub fn allowed(&self) -> Limits {
        let own = self.limits.into_iter();
        tightest(self.cautions.iter().map(|c| c.limits()).chain(own))
    }

    /// The cautions that forbid something about this limit.
    pub fn cautions_behind(&self, limits: impl Fn(&Limits) -> bool) -> Vec<Caution> {
        let all = self.cautions.iter().copied();
        all.filter(|c| limits(&c.limits())).collect()
    }

    /// Every number is in its range, and no canal is suspected twice.
    pub fn check(&self) -> Result<(), PatientError> {
        let neck = &self.neck;
        let ranges = [
            ("weight_kg", self.weight_kg, [20.0, 250.0], "20 to 250 kg"),
            ("height_cm", self.height_cm, [100.0, 220.0], "100 to 220 cm"),
            (
                "back_recline_deg",
                self.back_recline_deg,
                [0.0, 120.0],
                "0 to 120°",
            ),
            (
                "neck.rotation_deg",
                neck.rotation_deg,
                [0.0, 90.0],
                "0 to 90°",
            ),
            (
                "neck.extension_deg",
                neck.extension_deg,
                [0.0, 90.0],
                "0 to 90°",
            ),
            (
                "neck.flexion_deg",
                neck.flexion_deg,
                [0.0, 90.0],
                "0 to 90°",
            ),
            (
                "neck.lateral_deg",
                neck.lateral_deg,
                [0.0, 90.0],
                "0 to 90°",
            ),
        ];
        for (field, found, [low, high], allowed) in ranges {
            // NaN is in no range.
            if !(low..=high).contains(&found) {
                return Err(self.fault(field, found.to_string(), allowed));
            }
        }
        if let Some(limits) = &self.limits {
            check_limits("limits", limits).map_err(|e| self.fault(e.field, e.found, e.allowed))?;
        }
        for (i, suspected) in self.suspected.iter().enumerate() {
            let before = self.suspected[..i].iter();
            if before.map(|s| s.id()).any(|id| id == suspected.id()) {
                let found = format!("the {} twice", suspected.id().name());
                let allowed = "up to six canals, each once";
                return Err(self.fault("suspected", found, allowed));
            }
        }
        Ok(())
    }

    fn fault(
        &self,
        field: impl Into<String>,
        found: String,
        allowed: impl Into<String>,
    ) -> PatientError {
        PatientError {
            code: self.code.to_string(),
            field: field.into(),
            found,
            allowed: allowed.into(),
        }
    }
}
