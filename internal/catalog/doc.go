// Package catalog holds what rental houses own and what it costs to hire: houses, items by kind with their
// typed attributes in SI units, and rates by date. A [Snapshot] is one house's whole catalogue at one moment,
// the immutable form in which the sizing engine and the price desk read it.
//
// The same field lists ([Spec.Fields]) serve CSV in and out, storage and validation, so that an attribute is
// named, bounded and explained in one place.
package catalog
