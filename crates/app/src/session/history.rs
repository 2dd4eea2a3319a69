//! Undo and redo without limit: all former states, and those that were undone.

/// A present state with its past and its undone future.
#[derive(Clone, Debug)]
pub struct History<T> {
    past: Vec<T>,
    present: T,
    future: Vec<T>,
    /// The last change is part of a drag that goes on.
    open: bool,
}

impl<T: PartialEq> History<T> {
    /// A state without a past.
    pub fn new(present: T) -> Self {
        Self {
            past: Vec::new(),
            present,
            future: Vec::new(),
            open: false,
        }
    }

    /// The state now.
    pub fn present(&self) -> &T {
        &self.present
    }

    /// Takes a new state; the one before can be had again. False if nothing has changed.
    pub fn change(&mut self, next: T) -> bool {
        self.take(next, false)
    }

    /// Takes a state in the middle of a drag: all states from the drag's first to [`Self::close`] count
    /// as one change.
    pub fn drag(&mut self, next: T) -> bool {
        self.take(next, true)
    }

    /// The drag is over.
    pub fn close(&mut self) {
        self.open = false;
    }

    /// Goes back by one change; false if there is none.
    pub fn undo(&mut self) -> bool {
        self.open = false;
        let Some(before) = self.past.pop() else {
            return false;
        };
        self.future
            .push(std::mem::replace(&mut self.present, before));
        true
    }

    /// Takes back an undo; false if there is none.
    pub fn redo(&mut self) -> bool {
        self.open = false;
        let Some(after) = self.future.pop() else {
            return false;
        };
        self.past.push(std::mem::replace(&mut self.present, after));
        true
    }

    /// There is something to undo.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// There is something to redo.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }

    fn take(&mut self, next: T, dragging: bool) -> bool {
        if next == self.present {
            return false;
        }
        let before = std::mem::replace(&mut self.present, next);
        if !(dragging && self.open) {
            self.past.push(before);
        }
        self.future.clear();
        self.open = dragging;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_change_can_be_undone_and_redone() {
        let mut history = History::new(0);
        for i in 1..=1000 {
            assert!(history.change(i));
        }
        for i in (0..1000).rev() {
            assert!(history.undo());
            assert_eq!(*history.present(), i);
        }
        assert!(!history.undo() && !history.can_undo());
        for i in 1..=1000 {
            assert!(history.redo());
            assert_eq!(*history.present(), i);
        }
        assert!(!history.redo() && !history.can_redo());
    }

    #[test]
    fn a_change_after_an_undo_forgets_what_was_undone() {
        let mut history = History::new("a");
        history.change("b");
        history.undo();
        history.change("c");
        assert!(!history.can_redo());
        history.undo();
        assert_eq!(*history.present(), "a");
    }

    #[test]
    fn a_drag_is_one_change() {
        let mut history = History::new(0);
        for i in 1..=5 {
            history.drag(i);
        }
        history.close();
        history.drag(6);
        history.drag(7);
        assert!(history.undo());
        assert_eq!(*history.present(), 5, "the second drag");
        history.undo();
        assert_eq!(*history.present(), 0, "the first drag");
    }

    #[test]
    fn a_change_ends_a_drag() {
        let mut history = History::new(0);
        history.drag(1);
        history.change(2);
        history.drag(3);
        history.undo();
        assert_eq!(*history.present(), 2);
        history.undo();
        assert_eq!(*history.present(), 1);
    }

    #[test]
    fn no_change_is_no_step() {
        let mut history = History::new(1);
        assert!(!history.change(1));
        assert!(!history.can_undo());
    }
}
