// Package templates holds what ships with the program as plain files a lead
// can copy and change: the designs of the pages and the starters of a house
// and of a recipe.
package templates

import (
	"bytes"
	"embed"
	"io/fs"
	"strings"
)

// Sheets are the designs: sheets/NAME.yaml, and sheets/papers.yaml with the
// papers they may ask for.
//
//go:embed sheets/*.yaml
var Sheets embed.FS

//go:embed starters
var starters embed.FS

// What stands in the starters where an id and a date go. They are an id and a
// date themselves, so that the starters as they stand can be checked.
const (
	markID   = "new-recipe"
	markDate = "2026-01-01"
)

// File is a file to write: its name with forward slashes, and its text.
type File struct {
	Name string
	Text []byte
}

// House is a whole starter house, its files in the order of their names and
// their dates set to date (YYYY-MM-DD).
func House(date string) []File {
	const root = "starters/house"
	var files []File
	// The files are part of the program: reading them cannot fail.
	_ = fs.WalkDir(starters, root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := starters.ReadFile(name)
		if err != nil {
			return err
		}
		files = append(files, File{
			Name: strings.TrimPrefix(name, root+"/"),
			Text: bytes.ReplaceAll(text, []byte(markDate), []byte(date)),
		})
		return nil
	})
	return files
}

// Recipe is a starter recipe with its id and its date (YYYY-MM-DD) filled in.
func Recipe(id, date string) []byte {
	text, _ := starters.ReadFile("starters/recipe.md")
	text = bytes.Replace(text, []byte(markID), []byte(id), 1)
	return bytes.Replace(text, []byte(markDate), []byte(date), 1)
}
