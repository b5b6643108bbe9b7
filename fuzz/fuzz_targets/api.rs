#![no_main]

#[path = "../../tests/command/hammer/api.rs"]
mod api;

libfuzzer_sys::fuzz_target!(|input: &[u8]| api::check(input));
