package sheets

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"hash/crc32"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// finish sets the document's properties and writes the file. The library leaves the order of its parts to chance; here
// they stand by name, the content types first.
func (b *book) finish(w io.Writer, at time.Time, version string) error {
	made, by := at.UTC().Format(time.RFC3339), strings.TrimSpace("cotline "+version)
	if err := b.file.SetDocProps(&excelize.DocProperties{Title: b.document, Creator: by, LastModifiedBy: by, Created: made, Modified: made}); err != nil {
		return err
	}
	if err := b.file.SetAppProps(&excelize.AppProperties{Application: "cotline"}); err != nil {
		return err
	}
	whole, err := b.file.WriteToBuffer()
	if err != nil {
		return err
	}
	in, err := zip.NewReader(bytes.NewReader(whole.Bytes()), int64(whole.Len()))
	if err != nil {
		return err
	}
	slices.SortFunc(in.File, func(a, b *zip.File) int { return cmp.Compare(a.Name, b.Name) })
	out := zip.NewWriter(w)
	for _, f := range in.File {
		copied := copyPart
		if mends(f.Name) {
			copied = copyMended
		}
		if err := copied(out, f); err != nil {
			return err
		}
	}
	return out.Close()
}

// copyPart copies a part as it is.
func copyPart(out *zip.Writer, f *zip.File) error {
	from, err := f.OpenRaw()
	if err != nil {
		return err
	}
	return writePart(out, f.FileHeader, from)
}

// copyMended copies a part put right.
func copyMended(out *zip.Writer, f *zip.File) error {
	from, err := f.Open()
	if err != nil {
		return err
	}
	part, err := io.ReadAll(from)
	if err != nil {
		return err
	}
	part = mended(part)
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.DefaultCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write(part); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	header := f.FileHeader
	header.Method, header.CRC32 = zip.Deflate, crc32.ChecksumIEEE(part)
	header.CompressedSize64, header.UncompressedSize64 = uint64(packed.Len()), uint64(len(part))
	return writePart(out, header, &packed)
}

// writePart writes a packed part with its sizes before it: some readers do not take sizes that follow.
func writePart(out *zip.Writer, header zip.FileHeader, packed io.Reader) error {
	const sizesFollow = 0x8
	header.Flags &^= sizesFollow
	//lint:ignore SA1019 a raw copy writes these two and not Modified
	header.ModifiedDate, header.ModifiedTime = 1<<5|1, 0 // 1980-01-01, the first there is
	to, err := out.CreateRaw(&header)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, packed)
	return err
}
