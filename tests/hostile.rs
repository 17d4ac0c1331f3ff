//! Hostile input: no text makes the library panic, whatever it holds. It asks for no figures.
