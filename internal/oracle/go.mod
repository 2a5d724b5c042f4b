module cotline/internal/oracle

go 1.26.0

replace cotline => ../..

require (
	cotline v0.0.0
	github.com/google/fhir/go v0.7.4
	github.com/google/go-cmp v0.7.0
)

require (
	bitbucket.org/creachadair/stringset v0.0.9 // indirect
	github.com/cockroachdb/apd/v3 v3.2.3 // indirect
	github.com/go-json-experiment/json v1.27.2 // indirect
	github.com/goccy/go-yaml v1.19.2 // indirect
	github.com/golang/protobuf v1.5.4 // indirect
	github.com/google/uuid v1.6.0 // indirect
	github.com/json-iterator/go v1.1.10 // indirect
	github.com/modern-go/concurrent v0.0.0-20180306012644-bacd9c7ef1dd // indirect
	github.com/modern-go/reflect2 v1.0.1 // indirect
	github.com/pkg/errors v0.9.1 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/samply/golang-fhir-models/fhir-models v0.3.2 // indirect
	github.com/serenize/snaker v0.0.0-20201027110005-a7ad2135616e // indirect
	golang.org/x/text v0.44.0 // indirect
	google.golang.org/protobuf v1.33.0 // indirect
)
