//! What only the inside of shaping can show.
