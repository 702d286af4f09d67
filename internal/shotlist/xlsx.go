package shotlist

import (
	"archive/zip"
	"bytes"
	"errors"

	"github.com/xuri/excelize/v2"

	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// Bounds of an XLSX file; common practice, no source. 500 shots with every column take 2 MB unpacked and 300,000 tags. A tag of five bytes can
// cost 500 in memory, so that tags are what is counted.
const (
	maxUnpacked = 8 << 20
	maxTags     = 400_000
	maxLines    = 20_000
)

// bounded reports whether what a ZIP file unpacks to keeps the bounds. What is no ZIP file does.
func bounded(file []byte) bool {
	in, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return true
	}
	left, tags := int64(maxUnpacked), 0
	buffer := make([]byte, 64<<10)
	for _, f := range in.File {
		part, err := f.Open()
		if err != nil {
			continue // it is not read later either
		}
		for err == nil && left >= 0 && tags <= maxTags {
			var n int
			n, err = part.Read(buffer)
			left -= int64(n)
			tags += bytes.Count(buffer[:n], []byte("<"))
		}
		if part.Close(); left < 0 || tags > maxTags {
			return false
		}
	}
	return true
}

// ReadXLSX reads the first sheet of an XLSX file (ECMA-376) as [Read] reads CSV. Days and times may be texts or those of the spreadsheet.
func ReadXLSX(file []byte) *Table {
	t := &Table{}
	if !bounded(file) {
		t.give(1, "", fault.WorkbookTooLarge{MostRows: job.MaxShots})
		return t
	}
	// All is kept in memory: parts that are larger than the second bound would go into files.
	book, err := excelize.OpenReader(bytes.NewReader(file), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		t.give(1, "", fault.NotAWorkbook{})
		return t
	}
	defer func() { _ = book.Close() }() // it would remove files, of which there are none
	r := reader{Table: t, decimalComma: true, serials: true}
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil && *props.Date1904 {
		r.epoch = epoch1904
	}
	if err := r.sheet(book); err != nil {
		t.give(1, "", fault.NotAWorkbook{})
	}
	r.end()
	return t
}

// sheet reads the rows of the first sheet.
func (r *reader) sheet(book *excelize.File) (err error) {
	sheets := book.GetSheetList()
	if len(sheets) == 0 {
		return errors.New("no sheets")
	}
	rows, err := book.Rows(sheets[0])
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for line := 1; rows.Next(); line++ {
		if line > maxLines {
			r.give(line, "", fault.WorkbookTooLarge{MostRows: job.MaxShots})
			return nil
		}
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return err
		}
		if !r.row(line, cells) {
			return nil
		}
	}
	return rows.Error()
}
