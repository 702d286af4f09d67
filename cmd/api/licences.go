package main

import (
	_ "embed" // for the licences
	"io"
)

//go:generate go run -C ../../tools ./licences -out ../cmd/api/licences.gen.txt

// licences are the texts of what is built into the program.
//
//go:embed licences.gen.txt
var licences string

type licencesCommand struct{}

// Run prints the licences of what is built into the program, which whoever hands the program on hands on with it.
func (licencesCommand) Run(std streams) error {
	_, err := io.WriteString(std.out, licences)
	return err
}
