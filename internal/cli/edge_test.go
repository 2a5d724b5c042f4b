package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/ward"
)

// endless is an input that never ends.
type endless byte

func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

// Of a file of settings no more is read than tells that it is too long.
func TestSettingsAreBounded(t *testing.T) {
	dir := t.TempDir()
	long := filepath.Join(dir, "long.yaml")
	if err := os.WriteFile(long, []byte("unit: "+strings.Repeat("x", 8<<20)), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := readSettings(t.Context(), long)
	if err != nil || len(text) != intake.MostSettings+1 {
		t.Errorf("%d bytes read, %v", len(text), err)
	}
	for _, args := range [][]string{
		{"policy", "--policy", long}, {"policy", "--policy", "/dev/zero"},
		{"chart", "--policy", alder(t), "--map", long, filepath.Join(dir, "none.csv")},
	} {
		p, _, stderr := inProcess(t)
		if code := p.Run(t.Context(), args); code != exitFailed || !strings.Contains(stderr.String(), "at most 256 KiB") {
			t.Errorf("%v: %d: %s", args, code, stderr)
		}
	}
}

// The site's codings are read as a policy is.
func TestCodingsAreBounded(t *testing.T) {
	dir := t.TempDir()
	policy, long := filepath.Join(dir, "unit.yaml"), filepath.Join(dir, "codes.yaml")
	for name, text := range map[string]string{policy: "fhir: {codes: codes.yaml}\n", long: "a: " + strings.Repeat("x", 1<<20)} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	_, record := demoFiles(t)
	p, _, stderr := inProcess(t)
	if code := p.Run(t.Context(), []string{"bundle", "--record", record, "--policy", policy}); code != exitFailed ||
		!strings.Contains(stderr.String(), "at most 256 KiB") {
		t.Errorf("%d: %s", code, stderr)
	}
}

// An input that never ends, or never comes, ends with the work.
func TestInputEndsWithTheWork(t *testing.T) {
	policy, _ := demoFiles(t)
	silent, w := io.Pipe()
	defer w.Close()
	for name, in := range map[string]io.Reader{"endless": endless('\n'), "silent": silent} {
		ctx, stop := context.WithCancel(t.Context())
		p, _, stderr := inProcess(t)
		p.Stdin = in
		time.AfterFunc(20*time.Millisecond, stop)
		code := p.Run(ctx, []string{"chart", "--record", filepath.Join(t.TempDir(), "ward.db"), "--policy", policy, "-"})
		if code != exitFailed || !strings.Contains(stderr.String(), "stopped; nothing was taken half") {
			t.Errorf("%s: %d: %s", name, code, stderr)
		}
	}
}

// A pipe that nobody writes to is not waited for longer.
func TestPipeEndsWithTheWork(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "in.ndjson")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer stop()
	if _, err := openInput(ctx, pipe); !errors.Is(err, context.DeadlineExceeded) {
		t.Error(err)
	}
	if w, err := os.OpenFile(pipe, os.O_WRONLY|syscall.O_NONBLOCK, 0); err == nil {
		w.Close() // the opening that was left ends
	}
}

// A name that no file can have is refused before anything is computed.
func TestNamesOfOutput(t *testing.T) {
	_, record := demoFiles(t)
	dir := t.TempDir()
	for _, args := range [][]string{
		{"handover", "-o", filepath.Join(dir, strings.Repeat("x", 300))},
		{"handover", "-o", filepath.Join(dir, strings.Repeat("x/", 3000)+"y")},
		{"handover", "-o", filepath.Join(dir, "a\u202eb")},
		{"handover", "--pictures", filepath.Join(dir, strings.Repeat("x", 300))},
		{"workbook", "--csv", filepath.Join(dir, "a\nb")}, {"ndjson", "-o", filepath.Join(dir, "a\x1bb")},
		{"demo", "--out", filepath.Join(dir, strings.Repeat("x", 300))}, {"codes", "-o", filepath.Join(dir, strings.Repeat("x", 300))},
		{"bundle", "-o", filepath.Join(dir, strings.Repeat("x", 300)) + "/"},
		{"template", "-o", filepath.Join(dir, strings.Repeat("x", 300))},
	} {
		p, _, stderr := inProcess(t)
		p.NewID = func() string { return "00000000-0000-4000-8000-000000000001" }
		args := append(args, "--record", record)
		if code := p.Run(t.Context(), args); code != exitFailed || !strings.Contains(stderr.String(), "the name of a file to write") {
			t.Errorf("%v: %d: %s", args[:2], code, stderr)
		}
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Error(left)
	}
}

// coded is an error as a driver has it.
type coded int

func (c coded) Error() string { return fmt.Sprintf("disk I/O error (%d)", int(c)) }
func (c coded) Code() int     { return int(c) }

// Errors are told apart by type, in words, without a number and by the name given.
func TestErrorsInWords(t *testing.T) {
	of := func(err error) error { return &fs.PathError{Op: "write", Path: "flag/ward.html", Err: err} }
	for _, c := range []struct {
		err  error
		want string
	}{
		{of(syscall.ENOSPC), "flag/ward.html: the disk is full; make room and try again"},
		{of(syscall.EDQUOT), "flag/ward.html: the disk is full; make room and try again"},
		{of(syscall.EROFS), "flag/ward.html: the disk, or the folder, cannot be written to; check that it may be written, or name " +
			"another place"},
		{of(syscall.EFBIG), "flag/ward.html: the file is too big for its disk; name another place"},
		{of(syscall.EIO), "flag/ward.html: the disk cannot be read or written; check the disk, and run cotline verify"},
		{of(syscall.ENOENT), "flag/ward.html: there is no such file or folder; check the name"},
		{of(syscall.EACCES), "flag/ward.html: this user may not; check who may read and write it"},
		{of(syscall.ESTALE), "flag/ward.html: the file is gone, or its disk is; check the name and the disk"},
		{recordError{"flag.db", coded(8 | 5<<8)}, "record flag.db: the disk, or the folder, cannot be written to; check that it may " +
			"be written, or name another place"},
		{recordError{"flag.db", coded(10 | 12<<8)}, "record flag.db: the disk cannot be read or written; check the disk, and run " +
			"cotline verify"},
		{recordError{"flag.db", coded(18)}, "record flag.db: the file is too big for its disk; name another place"},
		{recordError{"flag.db", coded(14)}, "record flag.db: the file is gone, or its disk is; check the name and the disk"},
		{recordError{"flag.db", coded(1)}, "record flag.db: the database cannot be used; run cotline verify"},
		{recordError{"flag.db", fmt.Errorf("%w: %w", journal.ErrDamaged, coded(11))},
			"record flag.db: the record is damaged; cotline restore makes a record of what is whole; run cotline verify to see where, " +
				"and restore the last backup"},
		{recordError{"flag.db", fmt.Errorf("%w: %w", journal.ErrFull, coded(13))},
			"record flag.db: the disk is full; nothing was taken: make room and try again"},
		{errors.New("unknown arg(s) in flag.json"), "unknown arg(s) in flag.json"},
		{misused{errors.New("unknown flag: --nought")}, "unknown flag: --nought; see cotline --help"},
	} {
		if got := explain(c.err); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// What the command line itself refuses says where to look; a path says nothing of it.
func TestMisuseIsToldByType(t *testing.T) {
	for _, args := range [][]string{{"handoevr"}, {"handover", "--nought"}, {"policy", "one", "two"}, {"chart"}, {"rechart"},
		{"bundle", "--mode"}} {
		p, _, stderr := inProcess(t)
		if code := p.Run(t.Context(), args); code != exitFailed || !strings.Contains(stderr.String(), "see cotline --help") {
			t.Errorf("%v: %d: %s", args, code, stderr)
		}
	}
	p, _, stderr := inProcess(t)
	if code := p.Run(t.Context(), []string{"policy", "--policy", "flag/unknown arg(s).yaml"}); code != exitFailed ||
		strings.Contains(stderr.String(), "--help") {
		t.Errorf("%d: %s", code, stderr)
	}
}

// No line says anything that a terminal obeys, or that shows as nothing.
func TestMessagesAreOneVisibleLine(t *testing.T) {
	got := oneLine("ward\x1b[2J \u202eb\u200ba\ra\nb\tc\u00a0d\u2028")
	if want := "ward(U+001B)[2J (U+202E)b(U+200B)a; a; b c d "; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// What a file holds in a field that may be anybody's is not told, whatever the field.
func TestFoundHoldsNoName(t *testing.T) {
	policy, _ := demoFiles(t)
	const name = "Marigold Quince"
	dir := t.TempDir()
	file := filepath.Join(dir, "bad.ndjson")
	var b strings.Builder
	for n, own := range []string{
		`"kind":"weight","by":"` + name + `","weightG":900`, `"kind":"weight","by":"a","weightG":"` + name + `"`,
		`"kind":"` + name + `","by":"a"`, `"kind":"interface","by":"a","type":"` + name + `"`,
		`"kind":"interface","by":"a","type":"mask","size":"` + name + `"`,
		`"kind":"setup","by":"a","steps":[{"step":"` + name + `","done":true},{"step":"` + name + `","done":true}]`,
		`"kind":"head","by":"a","circumferenceCm":25,"unreliable":"` + name + `"`, `"kind":"plan","by":"a","what":"skin","every":"` +
			name + `","reason":"x"`,
		`"kind":"acceptance","by":"a","handover":"` + name + `","infants":["` + name + `"],"confirmed":{"` + name + `":["tube"]}`,
	} {
		fmt.Fprintf(&b, `{"id":"00000000-0000-4000-8000-%012d","infant":"in-a","at":"2026-03-08T09:00:00+01:00",%s}`+"\n", n+1, own)
	}
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	p, stdout, stderr := inProcess(t)
	report := filepath.Join(dir, "report.ndjson")
	if code := p.Run(t.Context(), []string{"chart", "--record", filepath.Join(dir, "ward.db"), "--policy", policy, "--report", report,
		file}); code != exitRefused {
		t.Fatalf("%d: %s", code, stderr)
	}
	written, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	for where, text := range map[string]string{"stdout": stdout.String(), "stderr": stderr.String(), "report": string(written)} {
		if strings.Contains(text, "Marigold") || strings.Contains(text, "Quince") {
			t.Errorf("%s: %s", where, text)
		}
	}
}

// An entry that is taken by a clock that is off is taken, and the clock doubted; a clock of
// another year does not settle. One that is right after all is said to be, by a note.
func TestClockThatIsOff(t *testing.T) {
	policy, entries := demoFiles(t)
	record := filepath.Join(t.TempDir(), "ward.db")
	chart := func(n int, ahead time.Duration, file string) string {
		p, _, stderr := inProcess(t)
		then := p.Now().Add(ahead)
		p.Now = func() time.Time { return then }
		if file == "-" {
			p.Stdin = strings.NewReader(fmt.Sprintf(`{"id":"00000000-0000-4000-8000-%012d","infant":"%s","kind":"note","at":"%s",`+
				`"by":"rn-agate","text":"asked again %d"}`, n, firstInfant(t, entries), ward.DemoAt, n))
		}
		if code := p.Run(t.Context(), []string{"chart", "--record", record, "--policy", policy, file}); code != exitDone {
			t.Fatalf("%d: %s", code, stderr)
		}
		return stderr.String()
	}
	chart(0, 0, entries)
	const year = 365 * 24 * time.Hour
	for n, c := range []struct {
		ahead time.Duration
		want  string
	}{{time.Minute, ""}, {73 * year, "more than a day after"}, {73*year + time.Hour, "more than a day after"}, {time.Hour, ""},
		{time.Minute, "before the newest"}} {
		told := chart(n+1, c.ahead, "-")
		if strings.Contains(told, "doubt: ") != (c.want != "") || !strings.Contains(told, c.want) {
			t.Errorf("%v: %s", c.ahead, told)
		}
	}
	for _, c := range []struct {
		ahead time.Duration
		flags []string
		code  int
		want  string
	}{
		{73 * time.Hour, []string{"--accept-clock", "on paper"}, exitFailed, "--accept-clock wants a reason, and --by"},
		{73 * time.Hour, []string{"--accept-clock", "on paper", "--by", "rn-agate"}, exitDone, "1 entry taken"},
		{73*time.Hour + time.Minute, []string{"--accept-clock", "again", "--by", "rn-agate"}, exitFailed, "is in no doubt"},
	} {
		p, _, stderr := inProcess(t)
		then := p.Now().Add(c.ahead)
		p.Now = func() time.Time { return then }
		p.NewID = func() string { return "00000000-0000-4000-8000-000000000900" }
		code := p.Run(t.Context(), append([]string{"chart", "--record", record}, c.flags...))
		if code != c.code || !strings.Contains(stderr.String(), c.want) {
			t.Errorf("%v: %d, %s", c.flags, code, stderr)
		}
	}
	if told := chart(9, 74*time.Hour, "-"); strings.Contains(told, "doubt: ") {
		t.Error(told)
	}
	p, stdout, _ := inProcess(t)
	then := p.Now().Add(74 * time.Hour)
	p.Now = func() time.Time { return then }
	p.Run(t.Context(), []string{"handover", "--record", record, "--format", "json"})
	if !strings.Contains(stdout.String(), "Clock found right: this machine says 2026-10-28T08:30:00+01:00, and the newest entry "+
		"in no doubt was taken at 2026-10-25T08:30:00+01:00. Reason: on paper") {
		t.Error("the note is not on the handover")
	}
}

// A clock goes on while somebody says that it is right: the note is of the moment at which it was
// accepted, which no tolerance is needed for, and says it as one reads a clock, to the second.
func TestClockFoundRightWhileItRuns(t *testing.T) {
	policy, entries := demoFiles(t)
	record := filepath.Join(t.TempDir(), "ward.db")
	exact := regexp.MustCompile("(?m)^clockTolerance:.*$").ReplaceAll(mustRead(t, policy), []byte("clockTolerance: 0m"))
	if err := os.WriteFile(policy, exact, 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(ahead time.Duration, args ...string) (stdout, stderr string) {
		p, out, told := inProcess(t)
		then := p.Now().Add(ahead)
		p.Now = func() time.Time { then = then.Add(1234567); return then }
		p.NewID = func() string { return "00000000-0000-4000-8000-000000000900" }
		if code := p.Run(t.Context(), append(args, "--record", record)); code != exitDone {
			t.Errorf("%v: %d %s", args, code, told)
		}
		return out.String(), told.String()
	}
	run(0, "chart", "--policy", policy, entries)
	note := filepath.Join(t.TempDir(), "note.ndjson")
	text := fmt.Sprintf(`{"id":"00000000-0000-4000-8000-000000000901","kind":"note","at":%q,"by":"rn-agate","text":"x"}`, ward.DemoAt)
	if err := os.WriteFile(note, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, told := run(72*time.Hour, "chart", note); !strings.Contains(told, "taken at 2026-10-28T07:30:00+01:00 by") ||
		!strings.Contains(told, "(2026-10-25T07:30:00+01:00)") {
		t.Error(told)
	}
	run(72*time.Hour, "chart", "--accept-clock", "on paper", "--by", "rn-agate")
	if shown, _ := run(73*time.Hour, "handover", "--format", "json"); !strings.Contains(shown,
		"this machine says 2026-10-28T07:30:00+01:00, and the newest entry in no doubt was taken at 2026-10-25T07:30:00+01:00. Reason") {
		t.Error("the note is not on the handover")
	}
}

// A reason is as long as the text that it becomes, at most, and is said again by no refusal.
func TestReasonsAreBounded(t *testing.T) {
	policy, entries := demoFiles(t)
	record, infant := filepath.Join(t.TempDir(), "ward.db"), firstInfant(t, entries)
	if code, _, stderr := runIn(t, record, policy, "chart", entries); code != exitDone {
		t.Fatal(stderr)
	}
	long := strings.Repeat("Marigold ", 1000)
	for want, args := range map[string][]string{
		"--accept-loss or --by: text: at most 4000 characters":  {"chart", "--accept-loss", long, "--by", "rn-agate"},
		"--accept-clock or --by: text: at most 4000 characters": {"chart", "--accept-clock", long, "--by", "rn-agate"},
		"--accept-clock or --by: by: 1 to 64 of":                {"chart", "--accept-clock", "on paper", "--by", long},
		"--reason: at most 1000 characters": {"rechart", "--yes", "--from", infant, "--to", "in-02", "--since", "2026-10-01T00:00:00Z",
			"--until", ward.DemoAt, "--reason", long, "--by", "rn-agate"},
	} {
		code, _, stderr := runIn(t, record, "", args...)
		if code != exitFailed || !strings.HasPrefix(stderr, "cotline: "+want) || strings.Contains(stderr, "Marigold") {
			t.Errorf("%s: %d %.300s", want, code, stderr)
		}
	}
}

// firstInfant is the infant of the first admission of a file who stays.
func firstInfant(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(string(text), "\n") {
		if _, rest, ok := strings.Cut(line, `"infant":"`); ok && strings.Contains(line, `"kind":"admission"`) {
			key, _, _ := strings.Cut(rest, `"`)
			if !strings.Contains(string(text), `"infant":"`+key+`","kind":"discharge"`) {
				return key
			}
		}
	}
	t.Fatal("nobody is admitted")
	return ""
}

// A manifest is read up to its bound, and a device beside the parts is no manifest.
func TestManifestsAreBounded(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, manifestName)
	text := `{"type":"transaction","mode":"put","at":"2026-10-25T07:30:00+01:00","known":"2026-10-25T07:30:00+01:00"`
	for what, c := range map[string]struct {
		padding int
		want    string
	}{"short": {0, ""}, "long": {mostManifest, "is no manifest of an export"}} {
		if err := os.WriteFile(path, []byte(text+strings.Repeat(" ", c.padding)+"}"), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := lastExport(t.Context(), bundleFlags{kind: "transaction", mode: "put", out: dir}, "")
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("/dev/zero", path); err != nil {
		t.Fatal(err)
	}
	if _, err := lastExport(t.Context(), bundleFlags{kind: "transaction", mode: "put", out: dir}, ""); err == nil {
		t.Error("a device was taken")
	}
}
