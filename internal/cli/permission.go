package cli

import (
	"cotline/internal/access"
)

// A commandNeed says what a command does with what is kept, which permission the same needs at
// the server, and what of it is traced. At the console it is not asked for: who has the file is
// its master (internal/access/THREATS.md).
type commandNeed struct {
	command string // as it is typed, without cotline
	does    string
	needs   access.Permission // empty: nothing of an infant or a person is read or written
	traced  []access.EventKind
}

// needs is the one table of commands. One without a row fails TestEveryCommandHasARow.
var needs = []commandNeed{
	{"demo", "makes an invented ward", "", nil},
	{"chart", "takes entries, and puts a policy in force", access.Chart,
		[]access.EventKind{access.Charted, access.Corrected, access.PolicyPut}},
	{"rechart", "moves entries from one infant to another", access.Chart, []access.EventKind{access.Corrected}},
	{"handover", "shows the ward or some infants; html and pdf are for paper", access.ReadInfants,
		[]access.EventKind{access.Read, access.Printed}},
	{"bundle", "writes infants for another system", access.Export, []access.EventKind{access.Exported}},
	{"ndjson", "writes infants for another system", access.Export, []access.EventKind{access.Exported}},
	{"transfer", "writes one infant for the next hospital", access.Export, []access.EventKind{access.Exported}},
	{"workbook", "writes the ward as tables", access.Export, []access.EventKind{access.Exported}},
	{"template", "writes a workbook to fill in; with --infants it lists them", access.ChartSheets,
		[]access.EventKind{access.Exported}},
	{"backup", "copies the record, its people and its trace", access.Export, []access.EventKind{access.Exported}},
	{"restore", "makes a fresh record of another, which it leaves as it is, with its trace", access.Export, nil},
	{"verify", "reads all and tells positions alone", "", nil},
	{"serve", "answers by its own table of routes, and writes paper each hour", access.ReadInfants, []access.EventKind{access.Printed}},
	{"policy", "shows the unit's policy", "", nil},
	{"schema", "shows what an entry is", "", nil},
	{"id", "makes ids", "", nil},
	{"codes", "shows terminology and profiles", "", nil},
	{"people", "says what its commands do", "", nil},
	{"people add", "makes an account", access.ManagePeople, []access.EventKind{access.People}},
	{"people list", "lists accounts", access.ManagePeople, nil},
	{"people roles", "gives roles", access.ManagePeople, []access.EventKind{access.People}},
	{"people lock", "locks an account", access.ManagePeople, []access.EventKind{access.People}},
	{"people open", "opens an account", access.ManagePeople, []access.EventKind{access.People}},
	{"people reset", "takes a password away", access.ManagePeople, []access.EventKind{access.People}},
	{"programs", "says what its commands do", "", nil},
	{"programs add", "registers a program", access.ManagePrograms, []access.EventKind{access.Programs}},
	{"programs list", "lists programs", access.ManagePrograms, nil},
	{"programs lock", "locks a program", access.ManagePrograms, []access.EventKind{access.Programs}},
	{"programs open", "opens a program", access.ManagePrograms, []access.EventKind{access.Programs}},
	{"trace", "shows who did what; it holds no patient's data", access.ReadTrace, nil},
}
