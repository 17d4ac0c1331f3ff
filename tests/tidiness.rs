//! The manners of the source itself: every module says what it yields, no stage names a later one, and what is said to
//! people about what is wrong stands in one place.
