package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"coldwright/internal/testkit"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"coldwright": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command as a person would, one behaviour a file.
func TestScripts(t *testing.T) {
	root := testkit.Root(t)
	testscript.Run(t, testscript.Params{
		Dir:           testkit.Data(t, "script"),
		UpdateScripts: testkit.Updating(),
		Setup: func(env *testscript.Env) error {
			env.Setenv("DEMO", filepath.Join(root, "recipes"))
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": status,
		},
		RequireUniqueNames: true,
	})
}

// status runs a command and demands the exit status given first:
// `status 3 coldwright check nowhere`.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status CODE COMMAND ARGS…")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := "0"
	if exit, ok := err.(interface{ ExitCode() int }); ok {
		code = string(rune('0' + exit.ExitCode()))
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if code != args[0] {
		ts.Fatalf("exit status %s, want %s", code, args[0])
	}
}
