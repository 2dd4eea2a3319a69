//! What an hour's drive takes of the memory: everything that is allocated is counted.

use std::{
    sync::Arc,
    thread,
    time::{Duration, Instant},
};

use lithodrome_app::{
    drive::ChairAxis,
    session::{
        Preferences, Session,
        command::{Command, DriveCommand},
    },
    work::stage_data::Origin,
};

#[global_allocator]
static ALLOCATED: dhat::Alloc = dhat::Alloc;

/// What an hour may add, bytes.
const HOUR: usize = 50_000_000;

fn wait(session: &mut Session, so: impl Fn(&Session) -> bool) {
    let began = Instant::now();
    while !so(session) {
        assert!(began.elapsed().as_secs() < 120, "it does not come back");
        thread::sleep(Duration::from_millis(5));
        session.take_work();
        session.take_drive();
    }
}

#[test]
fn an_hour_of_driving_adds_less_than_fifty_megabytes() {
    let preferences = Preferences {
        notice_read: true,
        ..Preferences::default()
    };
    let mut session = Session::new(preferences, Origin::Shipped, Arc::new(|| {}));
    wait(&mut session, |s| s.shown.is_some());
    let drawn = |s: &Session| {
        let ears = s.shown.iter().flat_map(|shown| shown.ears.iter());
        ears.map(|ear| ear.surface.get())
            .all(|surface| surface.is_some())
    };
    wait(&mut session, drawn);
    // From here on all is counted; what was there before is not.
    let profiler = dhat::Profiler::builder().testing().build();
    let script = session.start_scripted_drive();
    // A turn of three seconds every twenty, there and back, for an hour.
    let mut way = 1.0;
    for minute in 0..60 {
        for _ in 0..3 {
            session.apply(Command::Drive(DriveCommand::Push(ChairAxis::Track, way)));
            session.hand_over(true);
            assert!(script.go_on(3.0));
            session.hand_over(true);
            assert!(script.go_on(17.0));
            session.take_drive();
            way = -way;
        }
        if minute % 20 == 19 {
            let now = dhat::HeapStats::get().curr_bytes;
            println!("after {} min: {:.1} MB", minute + 1, now as f64 / 1e6);
        }
    }
    let stats = dhat::HeapStats::get();
    println!(
        "{:.1} MB are held, {:.1} MB were at most",
        stats.curr_bytes as f64 / 1e6,
        stats.max_bytes as f64 / 1e6
    );
    let duration_s = session
        .shown
        .as_ref()
        .map_or(0.0, |shown| shown.duration_s());
    assert!(duration_s > 3590.0, "{duration_s}");
    assert!(stats.max_bytes < HOUR, "{} bytes", stats.max_bytes);
    session.apply(Command::Drive(DriveCommand::ThrowAway));
    drop(profiler);
}
