package rules

import (
	"path"
	"slices"
	"strings"

	"coldwright/internal/check"
	"coldwright/internal/diag"
	"coldwright/internal/keys"
)

var unknownRecipe = check.Rule{
	ID: "unknown-recipe", Severity: diag.Error, Concern: diag.Card,
	Title:  "A recipe that another one sends the reader to is one the house has.",
	Why:    "Recipes are renamed and taken out while others still point to them. At the bench the card says to go on, and there is no card to go on with.",
	Source: "common practice",
	Quiet: "the link leads to the web or to something else than a recipe, words name no id (a lower-case word with a hyphen, behind \"follow\", \"go on with\" or \"continue with\"), " +
		"or there is no shop file, so that nobody knows where the house ends; a plain word that is only nearly an id of the house is a warning",
	Bad:    "Then follow bowl-rimm.   (the house has bowl-rim)",
	Good:   "Then follow [the rim](bowl-rim.md).",
	Across: checkWays,
}

func checkWays(s *check.Shelf, found func(*check.Entry, check.Finding)) {
	ids := map[string]bool{}
	for id := range s.Others {
		ids[id] = true
	}
	for _, e := range s.Entries {
		if e.Recipe.ID.OK {
			ids[e.Recipe.ID.Value] = true
		}
	}
	var known []string // in order, made once somebody needs it
	nearest := func(word string) string {
		if known == nil {
			for id := range ids {
				known = append(known, id)
			}
			slices.Sort(known)
		}
		return keys.Nearest(word, known)
	}
	for _, e := range s.Entries {
		for _, way := range e.Ways {
			if ids[way.Target] {
				continue
			}
			isFile := strings.Contains(way.Target, ".")
			switch {
			case way.Link && s.Holds != nil && s.Holds(e, way.Target),
				isFile && s.Holds == nil,
				!isFile && !s.Closed:
				continue
			}
			f := way.Finding
			near := ""
			if isFile {
				f.Message = "This leads to " + quoteName(way.Target) + ", and there is no such file."
				near = nearFile(s, e, way.Target)
			} else {
				near = nearest(way.Target)
				if near == "" && f.Severity != 0 {
					continue // a word with a hyphen, and not a name
				}
				f.Message = "This sends the reader to the recipe " + quoteName(way.Target) + ", and the house has none of that name."
			}
			f.Help = "Name the recipe that is meant, or take the words out."
			if near != "" {
				f.Help = "Write " + near + ", if that is the one meant."
			}
			found(e, f)
		}
	}
}

// quoteName is a name as it stands in a sentence, cut short where it is long.
func quoteName(name string) string {
	const most = 60
	if letters := []rune(name); len(letters) > most {
		name = string(letters[:most]) + "…"
	}
	return "“" + name + "”"
}

// nearFile is the path, as a link of the entry would have it, of the file that
// was most likely meant; empty where none is near.
func nearFile(s *check.Shelf, e *check.Entry, target string) string {
	folder := path.Dir(e.Recipe.File.Name)
	byBase := map[string]string{}
	var bases []string
	add := func(name string) {
		base := path.Base(name)
		if _, twice := byBase[base]; !twice {
			bases = append(bases, base)
			byBase[base] = name
		}
	}
	for _, other := range s.Entries {
		add(other.Recipe.File.Name)
	}
	var others []string
	for _, name := range s.Others {
		others = append(others, name)
	}
	slices.Sort(others)
	for _, name := range others {
		add(name)
	}
	near := keys.Nearest(path.Base(target), bases)
	if near == "" {
		return ""
	}
	if rest, below := strings.CutPrefix(byBase[near], folder+"/"); below {
		return rest
	}
	return byBase[near]
}
