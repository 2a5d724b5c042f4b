//go:build outside

package sheets

import (
	"bufio"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// BenchmarkQuarterExcelJS has ExcelJS's streaming writer (npm, on Node.js) write the cells of BenchmarkQuarter, with one
// format a column and the same level of compression, and this package after it. ExcelJS measures no widths, checks nothing
// and makes no table or chart; the time in which Node.js reads the cells from a file is taken off. Run it together with
// BenchmarkQuarter, whose plain writer stands for both. It needs what internal/oracle/install.sh installs.
func BenchmarkQuarterExcelJS(b *testing.B) {
	d := quarter()
	of := newTables(d.handover, d.entries, d.policy, "x")
	sheets, about := of.sheets(), of.about()
	dir := b.TempDir()
	rows, book := filepath.Join(dir, "rows.ndjson"), filepath.Join(dir, "book.xlsx")
	writeLines(b, rows, d, sheets)
	var said struct{ Reading, Whole, Peak, Size float64 }
	var theirs, ours float64
	for b.Loop() {
		cmd := exec.Command("node", filepath.Join("..", "oracle", "node", "exceljs.cjs"), rows, book)
		cmd.Env = append(os.Environ(), "NODE_PATH="+nodeModules(b))
		cmd.Stderr = os.Stderr
		out, err := cmd.Output()
		if err != nil {
			b.Fatal(err)
		}
		if err := json.Unmarshal(out, &said); err != nil {
			b.Fatal(err)
		}
		theirs += said.Whole - said.Reading
		var file counted
		start := time.Now()
		write(b, &file, d, slices.Clone(sheets), about)
		ours += time.Since(start).Seconds()
	}
	b.ReportMetric(0, "ns/op") // of both together
	b.ReportMetric(ours/float64(b.N), "s")
	b.ReportMetric(theirs/float64(b.N), "exceljs-s")
	b.ReportMetric(said.Size/1e6, "exceljs-file-MB")
	b.ReportMetric(said.Peak/1e6, "exceljs-process-MB")
	b.ReportMetric(ours/theirs, "x-exceljs")
}

// writeLines writes sheets as exceljs.cjs reads them.
func writeLines(t testing.TB, path string, d demo, sheets []sheet) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	out := bufio.NewWriter(f)
	line := json.NewEncoder(out)
	line.SetEscapeHTML(false)
	type column struct {
		Head   string `json:"head"`
		Format string `json:"format"`
	}
	for _, s := range sheets {
		var columns []column
		for _, h := range s.heads {
			format := "@"
			if strings.HasSuffix(h, "("+d.handover.Zone.String()+")") {
				format = momentFormat
			}
			columns = append(columns, column{h, format})
		}
		if err := line.Encode(map[string]any{"name": s.name, "columns": columns}); err != nil {
			t.Fatal(err)
		}
		values := make([]any, len(s.heads))
		for _, cells := range s.rows {
			for i, c := range cells {
				switch c.show {
				case showNumber:
					values[i] = json.Number(c.number.String())
				case showMoment, showDay:
					values[i] = serial(c)
				default:
					values[i] = c.text
				}
			}
			if err := line.Encode(values); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := out.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// nodeModules is where internal/oracle/install.sh put the npm packages, in a folder named by the hash of its lists.
func nodeModules(t testing.TB) string {
	t.Helper()
	hash := sha256.New()
	for _, f := range []string{"package.json", "package-lock.json"} {
		data, err := os.ReadFile(filepath.Join("..", "oracle", "node", f))
		if err != nil {
			t.Fatal(err)
		}
		hash.Write(data)
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(cache, "cotline-oracle", fmt.Sprintf("node-%.6x", hash.Sum(nil)), "node_modules")
	if _, err := os.Stat(filepath.Join(dir, "exceljs")); err != nil {
		t.Fatalf("the npm packages are not installed as they stand: bash internal/oracle/install.sh (%v)", err)
	}
	return dir
}
