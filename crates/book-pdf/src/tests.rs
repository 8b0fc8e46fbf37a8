//! The book as data in, PDF out.
