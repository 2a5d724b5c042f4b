package sheets

import (
	"bytes"
	"regexp"
	"strings"
)

// mends says which parts the library writes otherwise than every reader, and every run, wants them.
func mends(part string) bool {
	return part == contentTypes || part == stylesPart || strings.HasPrefix(part, "xl/charts/")
}

const (
	contentTypes = "[Content_Types].xml"
	stylesPart   = "xl/styles.xml"
)

var (
	pictureTypes = regexp.MustCompile(`<Default Extension="[a-z]+" ContentType="image/[^"]*"></Default>`)
	signNumbers  = regexp.MustCompile(`numFmtId="(\d+)" formatCode="&#34;`)
)

// mended is such a part put right. The library calls the moments of a scatter chart texts, of which some programs draw
// nothing; with a chart it names every type of picture there is, in an order left to chance; and it numbers the formats
// of marks as if cells had none, so that one number means two formats.
func mended(part []byte) []byte {
	part = pictureTypes.ReplaceAll(part, nil)
	part = signNumbers.ReplaceAll(part, []byte(`numFmtId="1${1}" formatCode="&#34;`))
	part = bytes.ReplaceAll(part, []byte("<xVal><strRef>"), []byte("<xVal><numRef>"))
	return bytes.ReplaceAll(part, []byte("</strRef></xVal>"), []byte("</numRef></xVal>"))
}
