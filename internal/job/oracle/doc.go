// Package oracle holds plans of jobs to the rules of the trade by other means than the program's own, slowly: it reads the answer as anybody
// reads it, minute by minute says what is up at once, counts what that takes, tries every way to hire it, and on small jobs every choice that
// there is.
//
// It is for tests alone. Of the program it takes the catalogue, and the vehicles for a load, which have checks of their own; all else is
// written from what users are promised. [Check] lists whatever an answer says that does not follow from the options which it lists, and
// [Best] tries every choice among them.
package oracle
