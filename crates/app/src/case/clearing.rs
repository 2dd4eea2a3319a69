//! Where the debris is, in words.

/// Where the pieces are, never only what they left: `places` are the parts outside the utricle with how many
/// pieces are in each, `all` the pieces there are, `home` the canal (or canals) that they started in.
pub fn words(places: &[(String, usize)], all: usize, home: &str) -> String {
    if all == 0 {
        return "There is no debris in this case.".to_owned();
    }
    let elsewhere: usize = places.iter().map(|(_, count)| count).sum();
    let in_utricle = all - elsewhere.min(all);
    let still = |place: &str| home.split(" and ").any(|h| h == place);
    let mut parts: Vec<(String, usize, bool)> = places
        .iter()
        .map(|(place, count)| (format!("the {place}"), *count, still(place)))
        .collect();
    if in_utricle > 0 {
        parts.push(("the utricle".to_owned(), in_utricle, false));
    }
    let all_left = !parts.iter().any(|(.., still)| *still);
    let whole = if all == 1 {
        "The piece".to_owned()
    } else {
        format!("All {all} pieces")
    };
    let words = match parts.as_slice() {
        [(place, _, true)] => format!("{whole} {} still in {place}", is(all)),
        [(place, _, false)] => {
            format!(
                "{whole} {} left the {home} and {} in {place}",
                has(all),
                is(all)
            )
        }
        many => {
            let told: Vec<String> = many
                .iter()
                .map(|(place, count, still)| {
                    let still = if *still { "still " } else { "" };
                    format!("{count} {still}in {place}")
                })
                .collect();
            let left = if all_left {
                format!("{whole} have left the {home}")
            } else {
                format!("Of {all} pieces")
            };
            format!("{left}: {}", told.join(", "))
        }
    };
    words + "."
}

const fn is(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

const fn has(count: usize) -> &'static str {
    if count == 1 { "has" } else { "have" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_they_are_is_said_and_not_only_what_they_left() {
        let at = |place: &str, n: usize| (place.to_owned(), n);
        let home = "right lateral canal";
        assert_eq!(
            words(&[], 8, home),
            "All 8 pieces have left the right lateral canal and are in the utricle."
        );
        assert_eq!(
            words(&[at("right posterior canal", 8)], 8, home),
            "All 8 pieces have left the right lateral canal and are in the right posterior canal."
        );
        assert_eq!(
            words(&[at(home, 3)], 8, home),
            "Of 8 pieces: 3 still in the right lateral canal, 5 in the utricle."
        );
        assert_eq!(
            words(&[at(home, 8)], 8, home),
            "All 8 pieces are still in the right lateral canal."
        );
        assert_eq!(
            words(&[at("short arm of the right posterior canal", 2)], 8, home),
            "All 8 pieces have left the right lateral canal: 2 in the short arm of the right posterior canal, \
             6 in the utricle."
        );
        assert_eq!(
            words(&[], 1, home),
            "The piece has left the right lateral canal and is in the utricle."
        );
        let two = "right posterior canal and right lateral canal";
        assert_eq!(
            words(&[at(home, 1)], 1, two),
            "The piece is still in the right lateral canal."
        );
    }
}
