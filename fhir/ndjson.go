package fhir

import (
	"maps"
	"slices"
	"strconv"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// File is one NDJSON file: the resources of one type, one a line, each line ended.
// They refer to one another as Type/id.
type File struct {
	Name, Type string
	Count      int
	Content    []byte
}

// NDJSON is the export, and all that it refers to, as one file a resource type.
func (x *Export) NDJSON() ([]File, error) {
	all, err := x.closures(x.Resources)
	if err != nil {
		return nil, err
	}
	byType := map[string]*File{}
	for _, r := range all {
		f := byType[r.Type]
		if f == nil {
			f = &File{Name: r.Type + ".ndjson", Type: r.Type}
			byType[r.Type] = f
		}
		f.Count++
		f.Content = append(append(f.Content, r.JSON...), '\n')
	}
	var out []File
	for _, t := range slices.Sorted(maps.Keys(byType)) {
		out = append(out, *byType[t])
	}
	return out, nil
}

// Manifest lists the files as the Bulk Data Access guide does
// (hl7.org/fhir/uv/bulkdata). Taken is a moment before the record was read, request is
// what was asked for, and base stands before each file's name. What was withdrawn is a
// line with that status, so nothing is listed as deleted.
func Manifest(files []File, taken time.Time, request, base string) []byte {
	out := []byte(`{"transactionTime":`)
	out = entry.AppendString(out, r4.Stamp(taken))
	out = append(out, `,"request":`...)
	out = entry.AppendString(out, request)
	out = append(out, `,"requiresAccessToken":false,"output":[`...)
	for n, f := range files {
		if n > 0 {
			out = append(out, ',')
		}
		out = append(out, `{"type":`...)
		out = entry.AppendString(out, f.Type)
		out = append(out, `,"url":`...)
		out = entry.AppendString(out, base+f.Name)
		out = append(out, `,"count":`...)
		out = strconv.AppendInt(out, int64(f.Count), 10)
		out = append(out, '}')
	}
	return append(out, "],\"deleted\":[],\"error\":[]}\n"...)
}
