package report

import (
	"encoding/json"
	"io"
	"net/url"
	"path"
	"strconv"
	"strings"
	"unicode/utf8"

	"coldwright/internal/diag"
	"coldwright/internal/source"
)

// RuleText is what a program is told of a rule.
type RuleText struct {
	ID       string
	Severity diag.Severity
	// Protects is what the rule keeps from harm, in a few words.
	Protects string
	// Title says in one sentence what the rule asks, Why what happens otherwise.
	Title, Why string
	Source     string
	// Quiet says when the rule keeps still; empty where it never does.
	Quiet string
	// Bad and Good are lines of a recipe.
	Bad, Good string
}

// Log is what SARIF carries beside the findings.
type Log struct {
	// Rules are all there are, found at fault or not, in order.
	Rules []RuleText
	// Problems are what could not be read or written, in plain words.
	Problems []string
	// Unnamed is the name of what was read from no file.
	Unnamed string
	// Absolute is the whole path of a file by its name, with forward slashes; it
	// is asked where a name leads upwards. Nil leaves such names as they are.
	Absolute func(name string) string
}

// SARIF writes the findings as a log in the Static Analysis Results Interchange
// Format, OASIS Standard 2.1.0 with Errata 01. Columns are UTF-16 code units
// from 1 and leave a byte order mark out; the end is the place behind the last
// character. Files are relative to the folder the command ran in, percent-encoded
// (RFC 3986), but for those above it. A refusal is an error there, and says so in
// its properties; what the lead has overruled keeps the level it would have and
// is suppressed.
func SARIF(w io.Writer, list diag.List, log Log) error {
	s := sarifWriter{log: log, rules: make(map[string]int, len(log.Rules))}
	run := sarifRun{
		Tool:       sarifTool{sarifDriver{Name: "Coldwright", Language: "en-GB", Rules: make([]sarifRule, 0, len(log.Rules))}},
		Language:   "en-GB",
		ColumnKind: "utf16CodeUnits",
		Results:    make([]sarifResult, 0, len(list)),
	}
	for i, r := range log.Rules {
		s.rules[r.ID] = i
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, ruleOf(r))
	}
	for i := range list {
		run.Results = append(run.Results, s.result(&list[i]))
	}
	call := sarifInvocation{ExecutionSuccessful: len(log.Problems) == 0}
	for _, p := range log.Problems {
		call.Notifications = append(call.Notifications, sarifNotification{Level: "error", Message: plain(p)})
	}
	run.Invocations = []sarifInvocation{call}
	if s.unnamed {
		run.Artifacts = []sarifArtifact{{Description: plain(log.Unnamed), Encoding: "UTF-8"}}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(sarifLog{
		Schema:  "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
		Version: "2.1.0",
		Runs:    []sarifRun{run},
	})
}

// sarifWriter turns findings into results.
type sarifWriter struct {
	log   Log
	rules map[string]int
	// unnamed is true once something pointed at what was read from no file.
	unnamed bool
}

func (s *sarifWriter) result(d *diag.Diagnostic) sarifResult {
	text := d.Message
	if d.Help != "" {
		text += "\nMend: " + d.Help
	}
	r := sarifResult{
		RuleID: d.Rule, Level: levelOf(d.Severity), Message: plain(text),
		Suppressions: []sarifSuppression{},
		Properties:   sarifProperties{Severity: d.Severity.String(), Step: d.Step, Surface: d.Surface},
	}
	if i, ok := s.rules[d.Rule]; ok {
		r.RuleIndex = &i
	}
	if d.Span.Known() {
		r.Locations = []sarifLocation{{Physical: s.physical(d.Span)}}
	}
	for i, a := range d.Also {
		l := sarifLocation{ID: i + 1}
		if a.Span.Known() {
			l.Physical = s.physical(a.Span)
		}
		if a.Step > 0 {
			m := plain("Step " + strconv.Itoa(a.Step) + ".")
			l.Message = &m
		}
		r.Related = append(r.Related, l)
	}
	if d.Mend.Known() {
		r.Fixes = []sarifFix{s.fix(d.Mend)}
	}
	if a := d.Accepted; a != nil {
		r.Level, r.Properties.Severity = levelOf(a.Was), a.Was.String()
		one := sarifSuppression{Kind: "inSource", Status: "accepted", Justification: a.Reason}
		if a.Span.Known() {
			one.Location = &sarifLocation{Physical: s.physical(a.Span)}
		}
		if a.Until != "" {
			one.Properties = &sarifUntil{a.Until}
		}
		r.Suppressions = append(r.Suppressions, one)
	}
	return r
}

// fix is a correction, byte for byte: all its edits are of one file.
func (s *sarifWriter) fix(m diag.Mend) sarifFix {
	at := s.physical(m.Edits[0].Span)
	change := sarifChange{Artifact: at.Artifact}
	for _, e := range m.Edits {
		one := sarifReplacement{Deleted: regionOf(e.Span)}
		if e.Text != "" {
			one.Inserted = &sarifContent{e.Text}
		}
		change.Replacements = append(change.Replacements, one)
	}
	return sarifFix{Description: plain(m.Does), Changes: []sarifChange{change}}
}

func levelOf(s diag.Severity) string {
	switch s {
	case diag.Refusal, diag.Error:
		return "error"
	case diag.Warning:
		return "warning"
	}
	return "note"
}

func (s *sarifWriter) physical(at source.Span) *sarifPhysical {
	p := &sarifPhysical{Region: regionOf(at)}
	if at.File.Name == s.log.Unnamed {
		s.unnamed = true
		p.Artifact.Index = new(int)
		return p
	}
	p.Artifact.URI = s.uri(at.File.Name)
	return p
}

// uri is the reference to a file: relative where its name is and does not lead
// upwards, which a reader of the log may not follow (SARIF 3.10.2).
func (s *sarifWriter) uri(name string) string {
	name = path.Clean(name)
	up := name == ".." || strings.HasPrefix(name, "../")
	if up && s.log.Absolute != nil {
		name = s.log.Absolute(name)
	}
	parts := strings.Split(name, "/")
	whole := len(parts) > 1 && (parts[0] == "" || len(parts[0]) == 2 && parts[0][1] == ':')
	for i, part := range parts {
		escaped := url.PathEscape(part)
		if !whole || i > 0 {
			// A colon in the first part would read as a scheme.
			escaped = strings.ReplaceAll(escaped, ":", "%3A")
		}
		parts[i] = escaped
	}
	joined := strings.Join(parts, "/")
	switch {
	case strings.HasPrefix(joined, "//"):
		return "file:" + joined // a share on the network
	case strings.HasPrefix(joined, "/"):
		return "file://" + joined
	case whole:
		return "file:///" + joined
	}
	return joined
}

// regionOf gives the lines and columns of a span.
func regionOf(at source.Span) sarifRegion {
	var r sarifRegion
	r.StartLine, r.StartColumn = sarifPlace(at.File, at.Start)
	r.EndLine, r.EndColumn = sarifPlace(at.File, max(at.Start, at.End))
	return r
}

// byteOrderMark may open a file and is no character of it.
const byteOrderMark = "\ufeff"

// sarifPlace is the line and the column of an offset, in UTF-16 code units. The
// end of a file that ends with a line ending is behind that ending: there is no
// further line (SARIF 3.30.2).
func sarifPlace(f *source.File, offset int) (line, column int) {
	offset = max(0, min(offset, len(f.Text)))
	line, _ = f.Position(offset)
	if offset == len(f.Text) && offset > 0 && f.Text[offset-1] == '\n' {
		line--
	}
	start := f.Offset(line, 1)
	return line, units(strings.TrimPrefix(string(f.Text[start:offset]), byteOrderMark)) + 1
}

// units counts a text in UTF-16 code units.
func units(text string) int {
	n := utf8.RuneCountInString(text)
	for _, r := range text {
		if r > 0xFFFF {
			n++
		}
	}
	return n
}

// plain is a message whose braces stand for themselves (SARIF 3.11.5).
func plain(text string) sarifMessage { return sarifMessage{Text: braces.Replace(text)} }

var braces = strings.NewReplacer("{", "{{", "}", "}}")

func ruleOf(r RuleText) sarifRule {
	var text, marked strings.Builder
	part := func(name, words string) {
		if strings.TrimSpace(words) != "" {
			text.WriteString("\n" + name + ": " + words)
			marked.WriteString("\n\n**" + name + ":** " + words)
		}
	}
	text.WriteString(r.Why)
	marked.WriteString(r.Why)
	part("Quiet", r.Quiet)
	part("Source", r.Source)
	for _, line := range []struct{ name, words string }{{"Bad", r.Bad}, {"Good", r.Good}} {
		text.WriteString("\n" + line.name + ": " + line.words)
		marked.WriteString("\n\n**" + line.name + ":**\n\n```\n" + strings.TrimRight(line.words, "\n") + "\n```")
	}
	help := plain(text.String())
	help.Markdown = braces.Replace(marked.String())
	return sarifRule{
		ID: r.ID, Short: plain(r.Title), Full: plain(r.Why), Help: help,
		Default:    sarifConfiguration{levelOf(r.Severity)},
		Properties: sarifRuleProperties{Severity: r.Severity.String(), Tags: []string{r.Protects}},
	}
}

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool        sarifTool         `json:"tool"`
	Invocations []sarifInvocation `json:"invocations"`
	Language    string            `json:"language"`
	ColumnKind  string            `json:"columnKind"`
	Artifacts   []sarifArtifact   `json:"artifacts,omitempty"`
	Results     []sarifResult     `json:"results"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name     string      `json:"name"`
	Language string      `json:"language"`
	Rules    []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID         string              `json:"id"`
	Short      sarifMessage        `json:"shortDescription"`
	Full       sarifMessage        `json:"fullDescription"`
	Help       sarifMessage        `json:"help"`
	Default    sarifConfiguration  `json:"defaultConfiguration"`
	Properties sarifRuleProperties `json:"properties"`
}

type sarifConfiguration struct {
	Level string `json:"level"`
}

type sarifRuleProperties struct {
	Severity string   `json:"severity"`
	Tags     []string `json:"tags"`
}

type sarifMessage struct {
	Text     string `json:"text"`
	Markdown string `json:"markdown,omitempty"`
}

type sarifInvocation struct {
	ExecutionSuccessful bool                `json:"executionSuccessful"`
	Notifications       []sarifNotification `json:"toolExecutionNotifications,omitempty"`
}

type sarifNotification struct {
	Level   string       `json:"level"`
	Message sarifMessage `json:"message"`
}

type sarifArtifact struct {
	Description sarifMessage `json:"description"`
	Encoding    string       `json:"encoding"`
}

type sarifResult struct {
	RuleID       string             `json:"ruleId"`
	RuleIndex    *int               `json:"ruleIndex,omitempty"`
	Level        string             `json:"level"`
	Message      sarifMessage       `json:"message"`
	Locations    []sarifLocation    `json:"locations,omitempty"`
	Related      []sarifLocation    `json:"relatedLocations,omitempty"`
	Fixes        []sarifFix         `json:"fixes,omitempty"`
	Suppressions []sarifSuppression `json:"suppressions"`
	Properties   sarifProperties    `json:"properties"`
}

type sarifProperties struct {
	Severity string `json:"severity"`
	Step     int    `json:"step,omitempty"`
	Surface  string `json:"surface,omitempty"`
}

type sarifLocation struct {
	ID       int            `json:"id,omitempty"`
	Physical *sarifPhysical `json:"physicalLocation,omitempty"`
	Message  *sarifMessage  `json:"message,omitempty"`
}

type sarifPhysical struct {
	Artifact sarifArtifactLocation `json:"artifactLocation"`
	Region   sarifRegion           `json:"region"`
}

type sarifArtifactLocation struct {
	URI   string `json:"uri,omitempty"`
	Index *int   `json:"index,omitempty"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
	EndLine     int `json:"endLine"`
	EndColumn   int `json:"endColumn"`
}

type sarifSuppression struct {
	Kind          string         `json:"kind"`
	Status        string         `json:"status"`
	Justification string         `json:"justification"`
	Location      *sarifLocation `json:"location,omitempty"`
	Properties    *sarifUntil    `json:"properties,omitempty"`
}

type sarifUntil struct {
	Until string `json:"until"`
}

type sarifFix struct {
	Description sarifMessage  `json:"description"`
	Changes     []sarifChange `json:"artifactChanges"`
}

type sarifChange struct {
	Artifact     sarifArtifactLocation `json:"artifactLocation"`
	Replacements []sarifReplacement    `json:"replacements"`
}

type sarifReplacement struct {
	Deleted  sarifRegion   `json:"deletedRegion"`
	Inserted *sarifContent `json:"insertedContent,omitempty"`
}

type sarifContent struct {
	Text string `json:"text"`
}
