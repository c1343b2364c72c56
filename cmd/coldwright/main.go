// Command coldwright checks and prints the procedures of a glass coldworking
// shop.
package main

import (
	"os"

	"coldwright/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
