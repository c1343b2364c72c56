package testkit

import (
	"bytes"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

// KeepsToSARIF holds a log against the published schema of SARIF 2.1.0, formats
// of addresses included.
func KeepsToSARIF(t testing.TB, log []byte) {
	t.Helper()
	require.NoError(t, againstSARIF(t, log))
}

func againstSARIF(t testing.TB, log []byte) error {
	t.Helper()
	const name = "sarif-schema-2.1.0.json"
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(Read(t, Data(t, "sarif", name))))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource(name, schema))
	compiled, err := c.Compile(name)
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(log))
	require.NoError(t, err)
	return compiled.Validate(value)
}
