//! Whole jobs through the stage.
