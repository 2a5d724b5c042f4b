package sheets

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime"
	"testing"
)

// someText is a text that packs about as a sheet does.
func someText(r *rand.Rand, size int) []byte {
	text := make([]byte, size)
	for i := range text {
		text[i] = "<c r=\"0123456789\">"[r.IntN(18)]
	}
	return text
}

// inPieces writes a text in pieces of any size.
func inPieces(t *testing.T, w io.Writer, r *rand.Rand, text []byte) {
	t.Helper()
	for len(text) > 0 {
		n := min(len(text), 1+r.IntN(300_000))
		if _, err := w.Write(text[:n]); err != nil {
			t.Fatal(err)
		}
		text = text[n:]
	}
}

// unzipped are the parts of a file by name, of which archive/zip checks the sums, and their names in order.
func unzipped(t *testing.T, data []byte) (map[string]string, []string) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	parts, names := map[string]string{}, []string{}
	for _, f := range z.File {
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(from)
		if err != nil {
			t.Errorf("%s: %v", f.Name, err)
		}
		if f.Flags != 0 {
			t.Errorf("%s: flags %x", f.Name, f.Flags)
		}
		parts[f.Name] = string(got)
		names = append(names, f.Name)
	}
	return parts, names
}

// closed is what an archive makes of its parts.
func closed(t *testing.T, a *archive) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if err := a.write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Parts of any size, in any pieces, come back by name; by however many threads they are packed, the bytes are the same. And
// they take no more room than archive/zip's own, but for 1 %.
func TestArchive(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	text := someText(r, 30*blockSize+blockSize/2)
	sizes := []int{0, 1, blockSize - 1, blockSize, blockSize + 1, 2 * blockSize, len(text)}
	pack := func() []byte {
		t.Helper()
		a := newArchive()
		for i, n := range sizes {
			w, err := a.Create(fmt.Sprintf("part%d", len(sizes)-i))
			if err != nil {
				t.Fatal(err)
			}
			inPieces(t, w, r, text[:n])
		}
		return closed(t, a)
	}
	data := pack()
	parts, names := unzipped(t, data)
	for i, name := range names {
		n := sizes[len(sizes)-1-i] // by name
		if parts[name] != string(text[:n]) {
			t.Errorf("%s: %d bytes of %d, or others", name, len(parts[name]), n)
		}
	}
	if len(names) != len(sizes) {
		t.Errorf("%d parts of %d", len(names), len(sizes))
	}
	var one bytes.Buffer
	whole := zip.NewWriter(&one)
	for _, n := range sizes {
		w, err := whole.Create("part1")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(text[:n]); err != nil {
			t.Fatal(err)
		}
	}
	if err := whole.Close(); err != nil {
		t.Fatal(err)
	}
	if len(data)*100 > one.Len()*101 {
		t.Errorf("%d bytes, by archive/zip %d", len(data), one.Len())
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !bytes.Equal(data, pack()) {
		t.Error("other bytes by one thread")
	}
}

// A sheet stands around its own rows and links, however many there are, with the sum of all of it.
func TestArchiveOfSheets(t *testing.T) {
	const above, between, below = "<sheetData>header", "</sheetData>formats", "<pageMargins />end"
	r := rand.New(rand.NewPCG(3, 4))
	rows := someText(r, 9*chunkSize)
	a := newArchive()
	want := map[string]string{}
	for _, n := range []int{0, 1, blockSize - 1, blockSize, blockSize + 1, len(rows)} {
		for _, links := range []string{"", "<hyperlink/>"} {
			name := fmt.Sprint("sheet", len(want))
			inPieces(t, a, r, rows[:n])
			if err := a.addSheet(name, []byte(above+between+below), []byte(links)); err != nil {
				t.Fatal(err)
			}
			if links != "" {
				links = "<hyperlinks>" + links + "</hyperlinks>"
			}
			want[name] = above + string(rows[:n]) + between + links + below
		}
	}
	w, err := a.Create("other")
	if err != nil {
		t.Fatal(err)
	}
	inPieces(t, w, r, rows)
	want["other"] = string(rows)
	got, names := unzipped(t, closed(t, a))
	if len(names) != len(want) {
		t.Errorf("%d parts of %d", len(names), len(want))
	}
	for name, text := range want {
		if got[name] != text {
			t.Errorf("%s: %d bytes of %d, or others", name, len(got[name]), len(text))
		}
	}
	// what the library would have to write otherwise than it does
	for _, text := range []string{"", "no rows", "</sheetData>no margins"} {
		if err := a.addSheet("odd", []byte(text), []byte("<hyperlink/>")); err == nil {
			t.Errorf("taken for a sheet: %q", text)
		}
	}
}
