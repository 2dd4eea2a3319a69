//! Whether the canal is clear, in words.

/// Where the debris is: `places` are the parts outside the utricle with how many pieces are in each, `all`
/// the pieces there are, `home` the canal (or canals) that they started in.
pub fn words(places: &[(String, usize)], all: usize, home: &str) -> String {
    let pieces = if all == 1 { "piece" } else { "pieces" };
    if all == 0 {
        return "There is no debris in this case.".to_owned();
    }
    let mut parts = Vec::new();
    for (place, count) in places {
        let still = if place == home { "still " } else { "" };
        parts.push(match (parts.is_empty(), *count) {
            (true, 1) if all == 1 => format!("The piece is {still}in the {place}"),
            (true, n) if n == all => format!("All {n} {pieces} are {still}in the {place}"),
            (true, n) => format!("{n} of {all} {pieces} {still}in the {place}"),
            (false, n) => format!("{n} {still}in the {place}"),
        });
    }
    match parts.split_last() {
        None if all == 1 => format!("The piece has left the {home}."),
        None => format!("All {all} pieces have left the {home}."),
        Some((last, [])) => format!("{last}."),
        Some((last, others)) => format!("{} and {last}.", others.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_in_words() {
        let at = |place: &str, n: usize| (place.to_owned(), n);
        let home = "right posterior canal";
        assert_eq!(
            words(&[], 8, home),
            "All 8 pieces have left the right posterior canal."
        );
        assert_eq!(
            words(&[at(home, 3)], 8, home),
            "3 of 8 pieces still in the right posterior canal."
        );
        assert_eq!(
            words(&[at("right anterior canal", 8)], 8, home),
            "All 8 pieces are in the right anterior canal."
        );
        assert_eq!(
            words(&[at(home, 2), at("right common crus", 1)], 4, home),
            "2 of 4 pieces still in the right posterior canal and 1 in the right common crus."
        );
        assert_eq!(
            words(&[], 1, home),
            "The piece has left the right posterior canal."
        );
    }
}
