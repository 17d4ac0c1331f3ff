//! `catchwork.vim`.
