// Package terms holds the terms by which a rental house turns days, people and kilometres into money.
//
// A [Draft] is terms as somebody writes them down, by the names of the contract; [Draft.Resolve] names every fault at once and returns
// [Terms]. [Terms.Charged] says how many days are charged for a span of hire; all other steps are package quote's. A [Book] has each
// house's terms by the day from which they hold; [Demo] is that of the demo catalogue. The package is pure.
package terms
