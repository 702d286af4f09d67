// Package shotlist writes the shots of a job as a table and reads them back: CSV both ways, and the first sheet of an XLSX file.
//
// A column is a member of a shot and has its place in the contract for a name: camera.bearing_deg is the member bearing_deg of camera.
// What is no text, number, yes or no and no amount of money, such as lamps, stands in one cell as JSON. [Read] and [ReadXLSX] make a [Table],
// which places what is wrong, in a cell or with the job that the shots would make, by line and column.
package shotlist
