//! How small and how large a picture may be.

/// Least width in pixels (assumption: below it no title can be read).
pub const MIN_WIDTH: u32 = 320;
/// Least height in pixels (assumption).
pub const MIN_HEIGHT: u32 = 240;
/// Largest width and height in pixels (assumption: 256 MB while drawing).
pub const MAX_SIDE: u32 = 8000;
