//go:build outside

package page

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// A browser (Chromium) sets each label no wider than its box, in every font of
// the list that this machine has: what the other tests measure is on the safe side.
func TestLabelsAsABrowserSetsThem(t *testing.T) {
	measured := 0
	for _, font := range []string{fontFamily, "DejaVu Sans", "Liberation Sans"} {
		var page strings.Builder
		page.WriteString(`<!DOCTYPE html><meta charset="utf-8"><body>`)
		var of []string
		for name, svg := range demoDrawn(t).pictures(t) {
			of = append(of, name)
			page.WriteString(strings.Replace(string(svg), fontFamily, font, 1))
		}
		page.WriteString(`<pre id="out"></pre><script>document.getElementById("out").textContent ` +
			`= Array.from(document.querySelectorAll("text"), e => ` +
			`"\n" + e.getComputedTextLength() + "|" + e.getAttribute("font-size") + "|" + (e.getAttribute("font-weight") || "") + "|" ` +
			`+ e.textContent + "|").join("")</script>`)
		dir := t.TempDir()
		file := filepath.Join(dir, "page.html")
		if err := os.WriteFile(file, []byte(page.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		dom := run(t, "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
			"--disable-sync",
			"--user-data-dir="+filepath.Join(dir, "profile"), "--dump-dom", "file://"+file)
		for _, m := range regexp.MustCompile(`(?m)^([0-9.]+)\|([0-9]+)\|(bold)?\|(.*)\|$`).FindAllStringSubmatch(dom, -1) {
			length, err := strconv.ParseFloat(m[1], 64)
			size, err2 := strconv.Atoi(m[2])
			if err != nil || err2 != nil {
				t.Fatal(fmt.Errorf("%v %v", err, err2))
			}
			measured++
			text := strings.NewReplacer("&amp;", "&", "&lt;", "<", "&gt;", ">").Replace(m[4])
			if most := inkWidth(text, size, m[3] != ""); length > float64(most)+0.5 {
				t.Errorf("%s: %q is %.1f wide, its box %d", font, text, length, most)
			}
		}
		if len(of) < 30 {
			t.Fatalf("%d pictures", len(of))
		}
	}
	if measured < 3000 {
		t.Errorf("%d labels measured", measured)
	}
}

// A second renderer (rsvg-convert of librsvg) draws every picture.
func TestPicturesInASecondRenderer(t *testing.T) {
	dir := t.TempDir()
	for name, svg := range demoDrawn(t).pictures(t) {
		in, out := filepath.Join(dir, "in.svg"), filepath.Join(dir, "out.png")
		if err := os.WriteFile(in, svg, 0o600); err != nil {
			t.Fatal(err)
		}
		run(t, "rsvg-convert", in, "-o", out)
		if png, err := os.ReadFile(out); err != nil || len(png) < 10_000 {
			t.Errorf("%s: %d bytes of picture: %v", name, len(png), err)
		}
	}
}
