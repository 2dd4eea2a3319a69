//! What a search is doing, told to whoever waits for it.

use std::ops::ControlFlow;

/// What a search is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SearchStage {
    /// Tables of the line graph, ear by ear.
    Tables,
    /// Sequences in the tables, hold by hold.
    Sequences,
    /// The best of them in the engine, on planning ears.
    Ranking,
    /// Times of their holds.
    Holds,
    /// The chosen one on ears on which nothing was chosen.
    Check,
    /// What every hold is for.
    Reasons,
}

impl SearchStage {
    /// All, in their order.
    pub const ALL: [SearchStage; 6] = [
        SearchStage::Tables,
        SearchStage::Sequences,
        SearchStage::Ranking,
        SearchStage::Holds,
        SearchStage::Check,
        SearchStage::Reasons,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            SearchStage::Tables => "tables of the line graph",
            SearchStage::Sequences => "sequences in the tables",
            SearchStage::Ranking => "the best in the engine",
            SearchStage::Holds => "times of holds",
            SearchStage::Check => "check on other ears",
            SearchStage::Reasons => "what each hold is for",
        }
    }

    /// Share of the whole search that is done before this stage, 0 to 1, as `benches/searching.rs` tells of the
    /// example, so that the bar goes on about evenly.
    pub const fn share_before(self) -> f64 {
        match self {
            SearchStage::Tables => 0.0,
            SearchStage::Sequences => 0.04,
            SearchStage::Ranking => 0.28,
            SearchStage::Holds => 0.53,
            SearchStage::Check => 0.88,
            SearchStage::Reasons => 0.96,
        }
    }

    /// Share of the whole search once `done` of `of` parts of this stage are.
    pub fn share(self, done: u32, of: u32) -> f64 {
        let next = SearchStage::ALL.into_iter().find(|stage| *stage > self);
        let to = next.map_or(1.0, SearchStage::share_before);
        let part = f64::from(done) / f64::from(of.max(1));
        self.share_before() + part * (to - self.share_before())
    }
}

/// Told the stage and how many of its parts are done; `Break` gives up.
pub type SearchProgress<'a> = dyn Fn(SearchStage, u32, u32) -> ControlFlow<()> + Sync + 'a;
