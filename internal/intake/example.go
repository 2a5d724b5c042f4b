package intake

import _ "embed"

// ExamplePolicy is a policy to begin with: every key with its default and where that comes
// from. What has no default stands in lines that are off.
//
//go:embed example.yaml
var ExamplePolicy []byte
