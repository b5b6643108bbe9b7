#![no_main]

#[path = "../../tests/command/hammer/log_import.rs"]
mod log_import;

libfuzzer_sys::fuzz_target!(|input: &[u8]| log_import::check(input));
