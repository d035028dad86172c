//! Tables on disk.
