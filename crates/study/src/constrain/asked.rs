//! What a history matching is asked.

/// What is asked.
#[derive(Clone, Debug)]
pub struct ConstrainAsked {
    /// Members of each wave, `[wave]`.
    pub members: Vec<u32>,
    /// Ears of a whole look.
    pub ears: u32,
    /// Seed of everything that is drawn.
    pub seed: u32,
    /// Threads; as many as there are processors if left out.
    pub threads: Option<usize>,
}
