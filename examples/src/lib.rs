//! Short programs that use the crates; run one with `cargo run -p lithodrome-examples --example NAME`.
