//! How a study tells how far it is, without printing.

/// Is told about finished pieces of work, from any thread.
pub trait Progress: Sync {
    /// Work is about to start with this many pieces.
    fn begin(&self, pieces: usize);
    /// One piece is finished.
    fn advance(&self);
    /// All is finished.
    fn end(&self);
}

/// Tells nobody.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Silent;

impl Progress for Silent {
    fn begin(&self, _: usize) {}
    fn advance(&self) {}
    fn end(&self) {}
}
