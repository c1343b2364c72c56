// Package picture makes an author's picture ready for print: found inside the
// house folder and nowhere else, read within limits, turned upright, laid on
// white and brought down to what print needs.
package picture

import (
	"fmt"

	"coldwright/internal/draw"
)

// RuleID is the id of findings about pictures.
const RuleID = "picture"

// SmallID is the id of findings about pictures of too few dots.
const SmallID = "picture-small"

const (
	// MaxBytes is the largest file that is read.
	MaxBytes = 20 << 20
	// MaxSamples is the largest picture that is decoded, width times height; of
	// kinds that take much room for a sample, fewer (maxMemory).
	MaxSamples = 64_000_000
	// maxSide is the longest side that is decoded; no camera's picture has it.
	maxSide = 30_000
)

// Fault is what can be wrong with a picture.
type Fault int

const (
	// BadTarget is a name no picture of a house can have: a web address, an
	// absolute path, a drive, a backslash.
	BadTarget Fault = iota + 1
	// Outside is a path or link that leads out of the house folder.
	Outside
	// Missing is a file that is not there.
	Missing
	// NotAFile is a folder, a device or a pipe.
	NotAFile
	// Unreadable is a file that is there and may not be read.
	Unreadable
	// TooLarge is a file or picture over the limits.
	TooLarge
	// Damaged is a picture that is cut short or broken.
	Damaged
	// NotAPicture is a file in no form that can be printed.
	NotAPicture
)

// Error is a picture that cannot be printed, in words for its author.
type Error struct {
	Fault Fault
	// Name is the picture as the author wrote it.
	Name string
	// Message is one plain sentence that says what is wrong.
	Message string
	help    string
}

// Error is the message.
func (e *Error) Error() string { return e.Message }

// Help says in a plain sentence what to do instead.
func (e *Error) Help() string { return e.help }

// fault makes an Error; %s in message stands for the picture's name.
func fault(kind Fault, name, message, help string) *Error {
	return &Error{Fault: kind, Name: name, Message: fmt.Sprintf(message, quoted(name)), help: help}
}

// quoted is a name in quotation marks, with what cannot be shown left out and
// a long one shortened.
func quoted(name string) string {
	const most = 80
	r := []rune(name)
	if len(r) > most {
		r = append(r[:most/2], append([]rune("…"), r[len(r)-most/2:]...)...)
	}
	for i, c := range r {
		if c < 0x20 || c >= 0x7F && c < 0xA0 || c == 0xFFFD {
			r[i] = '?'
		}
	}
	return "“" + string(r) + "”"
}

// Look reports whether a picture could be printed, from its place and the
// first lines of its file alone: Load may still find it damaged further on.
// longer is its longer side, in samples. The arguments are Load's.
func Look(houseRoot, recipeDir, target string) (longer int, err error) {
	f, err := open(houseRoot, recipeDir, target)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	head, err := look(target, f, nil)
	return max(head.Width, head.Height), err
}

// Load reads a picture and makes it ready for print.
//
// houseRoot is the house folder; recipeDir is the folder of the recipe as seen
// from there ("" or "." for the house folder itself); target is the picture as
// the recipe names it, as seen from the recipe. maxPixels is the most samples
// the longer side may keep; 0 or less keeps them all. Every error is an *Error.
func Load(houseRoot, recipeDir, target string, maxPixels int) (*draw.Image, error) {
	f, err := open(houseRoot, recipeDir, target)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := read(target, f)
	if err != nil {
		return nil, err
	}
	return Prepare(target, data, maxPixels)
}
