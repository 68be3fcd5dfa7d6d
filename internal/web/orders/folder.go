package orders

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"windingroom/internal/problem"
	"windingroom/internal/web/page"
)

// Bounds of an import by upload; what is larger goes through the command.
const (
	mostSent     = 24 << 20 // bytes that the browser sends
	mostUnpacked = 64 << 20 // bytes of all files
	mostFiles    = 100
	mostCarried  = 8 << 20 // bytes that a page carries from the check to the import
)

// errFolder is what is wrong with the files as a whole.
func errFolder(format string, args ...any) error {
	return problem.At("files", fmt.Errorf(format, args...))
}

// folder is the files of an import, packed: that is how a page carries them from the check to the import, so that what was checked is what is
// imported.
type folder struct {
	packed []byte
	*zip.Reader
	text map[string][]byte // by name
}

// newFolder takes what was chosen: CSV files, or zip files that hold them. Folders inside a zip file are left aside.
func newFolder(sent []page.Upload) (folder, error) {
	f := folder{text: map[string][]byte{}}
	left := int64(mostUnpacked)
	var names []string
	add := func(name string, body []byte) error {
		if left -= int64(len(body)); left < 0 || len(names) >= mostFiles {
			return errFolder("are too much for a page: at most %d files of %d MB together; the command windingroom import takes more", mostFiles, mostUnpacked>>20)
		}
		if _, twice := f.text[name]; twice {
			return errFolder("hold %s twice; choose one of them", name)
		}
		f.text[name] = body
		names = append(names, name)
		return nil
	}
	for _, u := range sent {
		name := base(u.Name)
		if !strings.EqualFold(path.Ext(name), ".zip") {
			if err := add(name, u.Body); err != nil {
				return f, err
			}
			continue
		}
		if err := unpack(name, u.Body, &left, add); err != nil {
			return f, err
		}
	}
	if len(names) == 0 {
		return f, errFolder("are needed: choose the CSV files, or one zip file that holds them")
	}
	return f, f.pack(names)
}

// unpack reads the files of a zip file, however deep they lie. What the file says of its sizes is not believed.
func unpack(name string, body []byte, left *int64, add func(string, []byte) error) error {
	z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	if err != nil {
		return errFolder("hold %s, which is no zip file", name)
	}
	for _, inner := range z.File {
		if inner.FileInfo().IsDir() || !strings.EqualFold(path.Ext(inner.Name), ".csv") || strings.HasPrefix(base(inner.Name), ".") {
			continue
		}
		file, err := inner.Open()
		if err != nil {
			return errFolder("hold %s, of which %s cannot be read", name, base(inner.Name))
		}
		text, err := io.ReadAll(io.LimitReader(file, *left+1))
		if err := errors.Join(err, file.Close()); err != nil {
			return errFolder("hold %s, of which %s cannot be read", name, base(inner.Name))
		}
		if err := add(base(inner.Name), text); err != nil {
			return err
		}
	}
	return nil
}

// base is the name of a file without the folders before it, whatever system it comes from.
func base(name string) string { return path.Base(strings.ReplaceAll(name, `\`, "/")) }

// pack puts the files into one that is a folder to read from.
func (f *folder) pack(names []string) error {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range names {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write(f.text[name])
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	f.packed = b.Bytes()
	var err error
	f.Reader, err = zip.NewReader(bytes.NewReader(f.packed), int64(len(f.packed)))
	return err
}
