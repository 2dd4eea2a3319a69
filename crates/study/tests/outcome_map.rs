//! The shipped outcome map is what its command gives: a random tenth of its cells, a tenth of their ears each.

use std::ops::ControlFlow;

use lithodrome_study::{
    CaseMixture, Progress, cell_ends, map_from_csv, outcome_map, shipped_map, treatments, write_map,
};

#[test]
fn a_random_tenth_of_the_shipped_map_comes_out_again() {
    let map = shipped_map().unwrap();
    let mixture = CaseMixture::usual().unwrap();
    let from = &map.provenance;
    if map.cells.is_empty() {
        // No map is shipped yet; its command fills the file.
        assert_eq!(from.ears, 0);
        return;
    }
    assert_eq!(from.mixture, mixture.title);
    let manoeuvres = treatments().unwrap();
    let ears = from.ears.div_ceil(10);
    let (mut checked, mut differ) = (0, Vec::new());
    // A stride that has no divisor in common with the order of the cells.
    for (k, cell) in map
        .cells
        .iter()
        .enumerate()
        .filter(|(k, _)| k * 7 % 10 == 3)
    {
        let Some(manoeuvre) = manoeuvres.iter().find(|m| m.name == cell.manoeuvre) else {
            panic!(
                "{} is no treatment any more: compute the map anew",
                cell.manoeuvre
            );
        };
        let first = (k as u32 * 37) % (from.ears - ears + 1);
        let range = first..first + ears;
        let (again, into) = cell_ends(&mixture, manoeuvre, cell, from.seed, range.clone()).unwrap();
        let range = range.start as usize..range.end as usize;
        let shipped = cell.ends[range.clone()]
            .iter()
            .zip(&cell.switched_to[range]);
        checked += again.len();
        let again = again.iter().zip(&into);
        let wrong = again.zip(shipped).filter(|(a, b)| a != b).count();
        if wrong > 0 {
            differ.push((wrong, cell.manoeuvre.clone(), cell.canal, cell.place));
        }
    }
    let wrong: usize = differ.iter().map(|d| d.0).sum();
    println!("{checked} ends computed again, {wrong} differ");
    assert!(checked as u32 >= ears * (map.cells.len() as u32 / 10));
    // One in twenty: an ear at the border may end otherwise with another compiler or a finer step.
    assert!(
        wrong * 20 <= checked,
        "{wrong} of {checked} ends differ; compute the map anew: lithodrome-cli outcome-map --out \
         assets/outcome-map/usual.csv --force; {differ:?}"
    );
}

#[test]
fn a_map_is_the_same_on_any_number_of_threads_and_reads_back() {
    let mixture = CaseMixture::usual().unwrap();
    let some: Vec<_> = treatments().unwrap().into_iter().take(2).collect();
    let go_on: &Progress = &|_, _| ControlFlow::Continue(());
    let one = outcome_map(&mixture, &some, 3, 1, Some(1), go_on).unwrap();
    let two = outcome_map(&mixture, &some, 3, 1, Some(2), go_on).unwrap();
    assert_eq!(one, two);
    assert_eq!(one.cells.len(), 2 * 3 * 5 * 3);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("map.csv");
    write_map(&one, &path).unwrap();
    let text = std::fs::read_to_string(&path).unwrap();
    assert_eq!(map_from_csv(&text, &path).unwrap(), one);
    assert!(text.contains("# caution: "));
    // Every cell of the shipped map counts all of its ears.
    let spoilt = text.replace("# ears: 3", "# ears: 4");
    let message = map_from_csv(&spoilt, &path).unwrap_err().to_string();
    assert!(message.contains("is not a cell of a map"), "{message}");
}
