//! lithodrome-study
