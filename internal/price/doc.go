// Package price is the price desk, the one place where money is added up: quantities times rates, line by line,
// exact to the minor unit of the currency.
package price
