package cli

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
)

// tables says how tables are read: by the unit's zone, and by the map if there is
// one.
func (p *Program) tables(ctx context.Context, policy *handover.Policy, files []string, mapping string) (intake.Tables, error) {
	t := intake.Tables{Zone: policy.Zone}
	for i, name := range files {
		if name != "-" && !slices.Contains([]string{ndjson, csv, xlsx, bundleForm}, formOf(name)) {
			what := name
			if formOf(name) == "" { // a word in a file's place
				what = fmt.Sprintf("number %d of the files named", i+1)
			}
			return t, wrong{"cannot read entries from " + what, "give a .ndjson, .csv, .xlsx or FHIR .json file, or - for NDJSON on " +
				"standard input"}
		}
	}
	if mapping == "" {
		return t, nil
	}
	if !slices.ContainsFunc(files, func(name string) bool { return formOf(name) == csv || formOf(name) == xlsx }) {
		return t, wrong{"--map is for .csv and .xlsx files", "leave it out"}
	}
	text, err := readSettings(ctx, mapping)
	if err != nil {
		return t, err
	}
	m, issues := intake.ReadMapping(text)
	for _, i := range issues {
		p.say("%s: %s", mapping, i)
	}
	if len(issues) > 0 {
		return t, wrong{"the map cannot be used", "mend it"}
	}
	t.Mapping = m
	return t, nil
}

// Forms of a file, by the end of its name.
const (
	ndjson     = ".ndjson"
	csv        = ".csv"
	xlsx       = ".xlsx"
	bundleForm = ".json"
)

func formOf(name string) string { return strings.ToLower(filepath.Ext(name)) }

// offered reads the files and numbers their lines through. It only gathers what FHIR
// files hold, because a resource may refer to one in another file.
func (p *Program) offered(ctx context.Context, files []string, tables intake.Tables, resources *intake.Resources) (all intake.Offer,
	sources []source, err error) {
	for _, name := range files {
		o, err := p.offeredBy(ctx, name, tables, resources, all.Lines)
		if err != nil {
			return all, nil, err
		}
		add(&all, o, all.Lines)
		all.Lines += o.Lines
		for _, note := range o.Notes {
			all.Notes = append(all.Notes, name+": "+note)
		}
		if name == "-" {
			name = "standard input"
		}
		sources = append(sources, sourcesOf(name, o)...)
	}
	return all, sources, nil
}

// add joins an offer to those before it; before is how many lines those have.
func add(all *intake.Offer, o intake.Offer, before int) {
	for _, e := range slices.Concat(o.Entries, o.Faulty) {
		e.Line += before
	}
	for _, issues := range [][]entry.Issue{o.Issues, o.Aside, o.Changed} {
		for i := range issues {
			issues[i].Line += before
		}
	}
	all.Entries = append(all.Entries, o.Entries...)
	all.Faulty = append(all.Faulty, o.Faulty...)
	all.Issues = append(all.Issues, o.Issues...)
	all.Aside = append(all.Aside, o.Aside...)
	all.Changed = append(all.Changed, o.Changed...)
	all.Unread += o.Unread
}

// sourcesOf are a file, or the sheets of it.
func sourcesOf(name string, o intake.Offer) (out []source) {
	if len(o.Sheets) == 0 {
		return []source{{name: name, lines: o.Lines, paths: o.Paths}}
	}
	for i := range o.Sheets {
		out = append(out, source{name: name, lines: o.Sheets[i].Rows, table: &o.Sheets[i]})
	}
	return out
}

func (p *Program) offeredBy(ctx context.Context, name string, tables intake.Tables, resources *intake.Resources,
	before int) (intake.Offer, error) {
	if name == "-" {
		return lines(&stoppable{ctx: ctx, r: p.Stdin}, resources, before)
	}
	f, err := openInput(ctx, name)
	if err != nil {
		return intake.Offer{}, err
	}
	defer f.Close() // it was only read
	o, err := readForm(ctx, f, formOf(name), tables, resources, before)
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return o, err
}

func readForm(ctx context.Context, f *os.File, form string, tables intake.Tables, resources *intake.Resources,
	before int) (intake.Offer, error) {
	in := &stoppable{ctx: ctx, r: f}
	switch form {
	case bundleForm:
		return resources.Bundle(in, before)
	case csv:
		return intake.CSV(in, tables)
	case xlsx:
		info, err := f.Stat()
		if err != nil {
			return intake.Offer{}, err
		}
		return intake.XLSX(f, info.Size(), tables)
	}
	return lines(in, resources, before)
}

// lines reads entries, or FHIR resources, one a line.
func lines(r io.Reader, resources *intake.Resources, before int) (intake.Offer, error) {
	in := bufio.NewReaderSize(r, 64<<10)
	if intake.AreResources(in) {
		return resources.Lines(in, before)
	}
	return intake.NDJSON(in)
}
