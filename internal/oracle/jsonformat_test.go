package oracle

import (
	"bytes"
	"encoding/json"
	"io"
	"reflect"
	"strings"
	"sync"
	"testing"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"
	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
)

// The protocol-buffer reader of google/fhir v0.7.4 knows R4's structure, required
// elements, bound codes, dates and reference types. It takes every resource, and
// writes it back with nothing lost, numbers to the digit.
func TestEveryResourceIsRead(t *testing.T) {
	t.Parallel()
	for name, x := range wards(t) {
		t.Logf("%s: %v", name, comesBack(t, x))
	}
}

// back are the resources that were read and came back; the same text is not read again.
var back sync.Map

// comesBack reads an export's resources and writes them back with nothing lost: how many
// of each type.
func comesBack(t *testing.T, x *fhir.Export) map[string]int {
	t.Helper()
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	write, err := jsonformat.NewMarshaller(false, "", "", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, r := range x.Resources {
		count[r.Type]++
		if _, was := back.Load(string(r.JSON)); was {
			continue
		}
		m, err := read.Unmarshal(r.JSON)
		if err != nil {
			t.Fatalf("%s/%s: %v\n%s", r.Type, r.ID, err, r.JSON)
		}
		text, err := write.Marshal(m)
		if err != nil {
			t.Fatalf("%s/%s: %v", r.Type, r.ID, err)
		}
		if sent, came := tree(t, r.JSON), tree(t, text); !reflect.DeepEqual(sent, came) {
			t.Fatalf("%s/%s came back changed: %s", r.Type, r.ID, cmp.Diff(sent, came))
		}
		back.Store(string(r.JSON), true)
	}
	return count
}

func TestTheBundleIsRead(t *testing.T) {
	t.Parallel()
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range wards(t) {
		if name == "demo" && !*whole {
			continue // thousands of resources, which are read one by one above
		}
		b, err := x.Transaction(fhir.Put)
		if err != nil {
			t.Fatal(name, err)
		}
		if _, err := read.Unmarshal(b); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// tree is JSON without the order of names, numbers as written.
func tree(t testing.TB, b []byte) any {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil && err != io.EOF {
		t.Fatal(err)
	}
	return v
}

// A reader that takes anything would prove nothing.
func TestTheReaderRefuses(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	var use string
	for _, r := range wards(t)["random 1"].Resources {
		if r.Type == "DeviceUseStatement" && strings.Contains(string(r.JSON), `"completed"`) {
			use = string(r.JSON)
		}
	}
	for fault, change := range map[string][2]string{
		"no status":          {`"status":"completed",`, ``},
		"an unknown status":  {`"status":"completed"`, `"status":"in-use"`},
		"an unknown element": {`"device":`, `"apparatus":`},
		"no such day":        {`"recordedOn":"2026-`, `"recordedOn":"2026-13-`},
		"the wrong target":   {`"reference":"Patient/`, `"reference":"Device/`},
	} {
		bad := strings.Replace(use, change[0], change[1], 1)
		if bad == use {
			t.Errorf("%s: nothing was planted in %s", fault, use)
		}
		if _, err := read.Unmarshal([]byte(bad)); err == nil {
			t.Errorf("%s was taken", fault)
		}
	}
}
