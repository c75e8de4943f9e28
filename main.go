// Meniscus walks an operator through a timed procedure at the bench, takes the readings, and prints results.
package main

import (
	"os"

	"example.org/meniscus/tui/command"
)

func main() { os.Exit(command.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
