// Package web is the pages: plan a shot and see it, a day, what frames reach, a house's catalogue for everybody to read and
// for its staff to edit. Everything is rendered by the server; a little script redraws while the reader types and nothing
// needs it. Pages hold no style, script or picture from anywhere else, and the address of a plan is the whole shot.
//
// [New] makes the [Server]; [shotForm] is the form, its query and its draft; package draw makes the drawings.
package web
