//! A list that is filled row by row.

/// Puts an entry at a place or takes the one there away; none stands there twice.
pub(super) fn put<T: PartialEq>(list: &mut Vec<T>, i: usize, entry: Option<T>) {
    match entry {
        Some(entry) if list.contains(&entry) => {}
        Some(entry) => match list.get_mut(i) {
            Some(there) => *there = entry,
            None => list.push(entry),
        },
        None if i < list.len() => {
            list.remove(i);
        }
        None => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_changed_added_and_taken_away_and_none_is_twice() {
        let mut list = vec![1, 2];
        put(&mut list, 0, Some(3));
        put(&mut list, 2, Some(4));
        assert_eq!(list, [3, 2, 4]);
        put(&mut list, 2, Some(3));
        put(&mut list, 1, None);
        put(&mut list, 7, None);
        assert_eq!(list, [3, 4]);
    }
}
