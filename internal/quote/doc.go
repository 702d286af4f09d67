// Package quote turns a plan into money: what is hired, who works, what drives and what is sold, by the terms of the house.
//
// [Make] gathers an [Asked] from a plan and what was said besides; [Price] computes it step by step: hire, long hire, packages, the
// customer's discount, the minimum, the waiver, sales, labour, transport, taxes, total and deposit. Money is whole minor units, and each
// step rounds once, half away from zero. Every [Line] says why it is what it is, as a value. The package is pure.
package quote
