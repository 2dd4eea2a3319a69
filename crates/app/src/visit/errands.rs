//! Plans and sheets, computed one after the other on a thread aside: each takes up to a second.

use std::{collections::VecDeque, sync::mpsc, thread};

use crate::work::progress::Waker;

struct Errand<T> {
    words: String,
    work: Box<dyn FnOnce() -> T + Send>,
    waker: Waker,
}

/// Those that wait and the one under way.
pub(super) struct Errands<T> {
    under_way: Option<(String, mpsc::Receiver<T>)>,
    waiting: VecDeque<Errand<T>>,
}

impl<T> Default for Errands<T> {
    fn default() -> Self {
        Self {
            under_way: None,
            waiting: VecDeque::new(),
        }
    }
}

impl<T: Send + 'static> Errands<T> {
    /// What is being done, in words.
    pub(super) fn under_way(&self) -> Option<&str> {
        self.under_way.as_ref().map(|(words, _)| words.as_str())
    }

    /// Has something done, after what waits already.
    pub(crate) fn send(
        &mut self,
        words: &str,
        waker: Waker,
        work: impl FnOnce() -> T + Send + 'static,
    ) {
        self.waiting.push_back(Errand {
            words: words.to_owned(),
            work: Box::new(work),
            waker,
        });
        self.begin_next();
    }

    /// What came back since the last look, or in words that nothing will.
    pub(crate) fn take(&mut self) -> Option<Result<T, String>> {
        let (words, back) = self.under_way.as_ref()?;
        let back = match back.try_recv() {
            Ok(back) => Ok(back),
            Err(mpsc::TryRecvError::Empty) => return None,
            Err(mpsc::TryRecvError::Disconnected) => Err(format!("{words}: the work broke off")),
        };
        self.under_way = None;
        self.begin_next();
        Some(back)
    }

    fn begin_next(&mut self) {
        if self.under_way.is_some() {
            return;
        }
        if let Some(Errand { words, work, waker }) = self.waiting.pop_front() {
            let (sender, back) = mpsc::channel();
            self.under_way = Some((words, back));
            thread::spawn(move || {
                // Nobody waits for what belongs to a visit that is over.
                let _ = sender.send(work());
                drop(sender);
                waker();
            });
        }
    }
}
