//! Plays the voice of a drive on the sound device, on a thread of its own, and says why if it cannot.

use std::sync::{Arc, Mutex, PoisonError};

use super::tone::Heard;
use crate::work::progress::Waker;

/// This system's sound can be played.
pub const IS_PLAYED: bool = cfg!(target_os = "linux");

struct Shared {
    heard: Mutex<Heard>,
    failed: Mutex<Option<String>>,
}

/// The sound of a drive; silent once it is dropped.
pub struct Sound {
    shared: Arc<Shared>,
}

impl Sound {
    /// Opens the sound device in the background.
    pub fn start(heard: Heard, waker: Waker) -> Self {
        let shared = Arc::new(Shared {
            heard: Mutex::new(heard),
            failed: Mutex::new(None),
        });
        play(Arc::clone(&shared), waker);
        Self { shared }
    }

    /// Says what is to be heard from now on.
    pub fn tell(&self, heard: Heard) {
        *self
            .shared
            .heard
            .lock()
            .unwrap_or_else(PoisonError::into_inner) = heard;
    }

    /// Why there is no sound, in words.
    pub fn failed(&self) -> Option<String> {
        self.shared
            .failed
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }
}

fn fail(shared: &Shared, waker: &Waker, words: String) {
    *shared.failed.lock().unwrap_or_else(PoisonError::into_inner) = Some(words);
    waker();
}

#[cfg(not(target_os = "linux"))]
fn play(shared: Arc<Shared>, waker: Waker) {
    fail(
        &shared,
        &waker,
        "this system's sound is not supported".to_owned(),
    );
}

#[cfg(target_os = "linux")]
fn play(shared: Arc<Shared>, waker: Waker) {
    std::thread::spawn(move || {
        if let Err(error) = server::play(&shared) {
            fail(&shared, &waker, server::words(&error));
        }
    });
}

/// The desktop's sound server.
#[cfg(target_os = "linux")]
mod server {
    use std::sync::{Arc, PoisonError, Weak};

    use futures_executor::block_on;
    use pulseaudio::{
        AsPlaybackSource as _, Client, ClientError,
        protocol::{
            ChannelMap, ChannelVolume, DEFAULT_SINK, PlaybackStreamParams, SampleFormat,
            SampleSpec, stream::BufferAttr,
        },
    };

    use super::Shared;
    use crate::drive::tone::Voice;

    /// Samples per second.
    const RATE_HZ: u32 = 44_100;
    /// Sound that waits to be played, s: what is heard is late by as much.
    const AHEAD_S: f32 = 0.06;

    /// Plays until nobody listens any more.
    pub(super) fn play(shared: &Arc<Shared>) -> Result<(), ClientError> {
        let ahead = (RATE_HZ as f32 * AHEAD_S) as u32 * 2;
        let params = PlaybackStreamParams {
            sample_spec: SampleSpec {
                format: SampleFormat::S16Le,
                channels: 1,
                sample_rate: RATE_HZ,
            },
            channel_map: ChannelMap::mono(),
            cvolume: Some(ChannelVolume::norm(1)),
            sink_name: Some(DEFAULT_SINK.to_owned()),
            buffer_attr: BufferAttr {
                target_length: ahead,
                ..BufferAttr::default()
            },
            ..PlaybackStreamParams::default()
        };
        let client = Client::from_env(c"Lithodrome")?;
        let source = samples(Arc::downgrade(shared));
        block_on(async {
            let made = client.create_playback_stream(params, source.as_playback_source());
            made.await?.play_all().await
        })
    }

    /// Fills what the server asks for; ends when nobody listens any more.
    fn samples(listener: Weak<Shared>) -> impl FnMut(&mut [u8]) -> usize + Send {
        let mut voice: Option<Voice> = None;
        move |out| {
            let Some(shared) = listener.upgrade() else {
                return 0;
            };
            let heard = *shared.heard.lock().unwrap_or_else(PoisonError::into_inner);
            let voice = voice.get_or_insert_with(|| Voice::new(RATE_HZ, heard));
            let (pairs, _) = out.as_chunks_mut::<2>();
            for pair in pairs.iter_mut() {
                let loudest = f32::from(i16::MAX);
                *pair = ((voice.sample(heard) * loudest) as i16).to_le_bytes();
            }
            2 * pairs.len()
        }
    }

    /// Why there is no sound, and what can be done.
    pub(super) fn words(error: &ClientError) -> String {
        match error {
            ClientError::ServerUnavailable => {
                "no sound server was found (PulseAudio or PipeWire with its pulse part)".to_owned()
            }
            ClientError::Io(error) => format!("the sound server cannot be reached: {error}"),
            ClientError::Disconnected => "the sound server has gone away".to_owned(),
            other => format!("the sound server refused: {other}"),
        }
    }

    #[cfg(test)]
    mod tests {
        use super::*;
        use crate::drive::tone::Heard;
        use std::sync::Mutex;

        #[test]
        fn samples_come_as_long_as_somebody_listens() {
            let shared = Arc::new(Shared {
                heard: Mutex::new(Heard {
                    beyond_rad: Some(1.0),
                    go_ons: 0,
                }),
                failed: Mutex::new(None),
            });
            let mut source = samples(Arc::downgrade(&shared));
            let mut out = [0u8; 4001];
            assert_eq!(source(&mut out), 4000, "whole samples only");
            assert!(out.iter().any(|b| *b != 0));
            drop(shared);
            assert_eq!(source(&mut out), 0);
        }
    }
}
