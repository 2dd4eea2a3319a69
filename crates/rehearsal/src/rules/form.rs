//! Which form of positional vertigo debris gives that begins at a place, in a clinician's words.

use lithodrome_labyrinth::Canal;

use crate::scenario::At;

/// The form that debris in this canal and place is known for; what an exact place gives is not said.
///
/// # Source
/// von Brevern 2015, J Vestib Res 25:105 (criteria of the Bárány Society): posterior and lateral forms; the short
/// arm: Büki 2014, Otol Neurotol 35:323; debris near the far end of the posterior canal: Vannucchi 2012, Audiol Neurotol
/// Extra (from memory); the anterior canal: from memory.
pub const fn form_words(canal: Canal, at: At) -> Option<&'static str> {
    Some(match (canal, at) {
        (_, At::Arc { .. }) => return None,
        (_, At::Utricle) => "out of the canals: no positional nystagmus of its own",
        (Canal::Posterior, At::AmpullaryArm) => {
            "the usual form: in its own Dix-Hallpike upbeat with the upper pole to that ear, for seconds"
        }
        (Canal::Posterior, At::NonAmpullaryArm) => {
            "the apogeotropic form of the posterior canal: downbeat in the Dix-Hallpike"
        }
        (Canal::Posterior, At::OnCupula { .. }) => {
            "the cupula's form: in its own Dix-Hallpike upbeat that lasts"
        }
        (Canal::Lateral, At::AmpullaryArm) => {
            "the apogeotropic form that passes: in the roll test both sides beat to the upper ear"
        }
        (Canal::Lateral, At::NonAmpullaryArm) => {
            "the geotropic form: in the roll test both sides beat to the lower ear, stronger on its own side"
        }
        (Canal::Lateral, At::OnCupula { .. }) => {
            "the apogeotropic form that lasts: in the roll test both sides beat to the upper ear"
        }
        (Canal::Anterior, At::AmpullaryArm | At::NonAmpullaryArm) => {
            "the anterior form: downbeat with the head hanging straight"
        }
        (Canal::Anterior, At::OnCupula { .. }) => {
            "the cupula's form: downbeat with the head hanging that lasts"
        }
        (_, At::ShortArm) => "the short arm's form: little when lying, a beat on sitting up",
    })
}
