//! (room to be furnished)
