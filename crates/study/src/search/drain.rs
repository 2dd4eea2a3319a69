//! Which way pieces of debris go along the line graph while the head is held, and how far they get.

/// Where each cell leads in one direction of gravity.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// The cell that a piece goes to next; itself where it rests, `[cell]`.
    next: Vec<u16>,
    /// How long that takes, s.
    time_s: Vec<f64>,
    /// How steep it is there, less what resistance takes.
    slope: Vec<f64>,
}

impl Drain {
    /// Nothing moves.
    pub(super) fn still(cells: usize) -> Drain {
        Drain {
            next: (0..cells).map(|i| i as u16).collect(),
            time_s: vec![0.0; cells],
            slope: vec![0.0; cells],
        }
    }

    /// A way from a cell, which is taken if it is the steepest.
    pub(super) fn offer(&mut self, from: usize, to: usize, slope: f64, time_s: f64) {
        if slope > self.slope[from] {
            self.slope[from] = slope;
            self.next[from] = to as u16;
            self.time_s[from] = time_s;
        }
    }

    /// Where a piece is after a hold, s.
    pub fn after(&self, cell: usize, hold_s: f64) -> usize {
        let (mut at, mut left_s) = (cell, hold_s);
        loop {
            let next = usize::from(self.next[at]);
            left_s -= self.time_s[at];
            if next == at || left_s < 0.0 {
                return at;
            }
            at = next;
        }
    }

    /// The same from every cell, `[cell]`.
    ///
    /// Along one way a piece that begins farther on ends farther on, so the end is only ever moved on.
    pub(super) fn after_all(&self, hold_s: f64) -> Vec<u16> {
        let n = self.next.len();
        let mut entered = vec![false; n];
        for (i, next) in self.next.iter().enumerate() {
            if usize::from(*next) != i {
                entered[usize::from(*next)] = true;
            }
        }
        let mut after: Vec<u16> = (0..n).map(|i| i as u16).collect();
        let mut done = vec![false; n];
        for head in (0..n).filter(|i| !entered[*i]) {
            // `end` is where a piece from `at` is; `left_s` is what it then has left.
            let (mut at, mut end, mut left_s) = (head, head, hold_s);
            while !done[at] {
                loop {
                    let next = usize::from(self.next[end]);
                    if next == end || self.time_s[end] > left_s {
                        break;
                    }
                    left_s -= self.time_s[end];
                    end = next;
                }
                after[at] = end as u16;
                done[at] = true;
                let next = usize::from(self.next[at]);
                if next == at {
                    break;
                }
                if end == at {
                    // It did not even leave its cell; the next one begins with the whole time.
                    end = next;
                    left_s = hold_s;
                } else {
                    left_s += self.time_s[at];
                }
                at = next;
            }
        }
        after
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 0 → 1 → 2 → 3 in 1, 2 and 4 s, 5 → 4 → 2 in 1 s each, 3 rests.
    fn made() -> Drain {
        let mut drain = Drain::still(6);
        for (from, to, time_s) in [
            (0, 1, 1.0),
            (1, 2, 2.0),
            (2, 3, 4.0),
            (5, 4, 1.0),
            (4, 2, 1.0),
        ] {
            drain.offer(from, to, 0.5, time_s);
        }
        drain
    }

    #[test]
    fn a_hold_leads_as_far_as_its_time() {
        let drain = made();
        for (hold_s, ends) in [
            (0.5, [0, 1, 2, 3, 4, 5]),
            (1.0, [1, 1, 2, 3, 2, 4]),
            (3.5, [2, 2, 2, 3, 2, 2]),
            (7.0, [3, 3, 3, 3, 3, 3]),
        ] {
            let one_by_one: Vec<usize> = (0..6).map(|cell| drain.after(cell, hold_s)).collect();
            assert_eq!(one_by_one, ends, "{hold_s}");
            let all: Vec<usize> = drain
                .after_all(hold_s)
                .into_iter()
                .map(usize::from)
                .collect();
            assert_eq!(all, ends, "{hold_s}");
        }
    }

    #[test]
    fn the_steepest_way_is_taken() {
        let mut drain = made();
        drain.offer(0, 5, 0.4, 9.0);
        assert_eq!(drain.after(0, 100.0), 3);
        drain.offer(0, 3, 0.6, 9.0);
        assert_eq!(drain.after(0, 8.0), 0);
        assert_eq!(drain.after(0, 9.0), 3);
    }
}
