//! Whether the canal is clear, in words.

/// How much of the debris is still in the canals.
pub fn clearing(inside: usize, all: usize, canal: &str) -> String {
    match (inside, all) {
        (_, 0) => "There is no debris in this case.".to_owned(),
        (0, 1) => format!("The one piece has left the {canal}."),
        (0, n) => format!("All {n} pieces have left the {canal}."),
        (1, 1) => format!("The one piece is still in the {canal}."),
        (k, n) if k == n => format!("All {n} pieces are still in the {canal}."),
        (k, n) => format!("{k} of {n} pieces still in the {canal}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_in_words() {
        assert_eq!(clearing(0, 8, "x"), "All 8 pieces have left the x.");
        assert_eq!(clearing(3, 8, "x"), "3 of 8 pieces still in the x.");
    }
}
