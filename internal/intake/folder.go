package intake

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// Folder is the text of the import files, taken apart into typed rows but not yet compared with what the shop has.
type Folder struct {
	Ignored []string // other CSV files that lie in the folder: nothing is read from them

	present [fileCount]bool
	unread  [fileCount]bool // some rows could not be read, so nobody knows which codes they name
	reports [fileCount]report
	folder  []Problem // of the folder as a whole

	alloys    []alloyRow
	wires     []wireRow
	suppliers []supplierRow
	spools    []spoolRow
	recipes   []recipeRow
	sets      []setRow
	orders    []orderRow
	machines  []machineRow
	usage     usageRows
	practice  []settingRow
}

// Read takes the import files of a folder apart. The problems are those of the text alone: Folder.Facts tells them again
// together with its own. The folder is never nil.
func Read(fsys fs.FS) (*Folder, Problems) {
	f := &Folder{usage: newUsageRows()}
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		f.folder = append(f.folder, Problem{Text: "the folder cannot be read: " + plain(err)})
		return f, f.problems(nil)
	}
	for id, name := range f.names(entries) {
		if name == "" {
			continue
		}
		f.present[id] = true
		f.readFile(fsys, fileID(id), name)
	}
	if f.present == [fileCount]bool{} && len(f.folder) == 0 {
		f.folder = append(f.folder, Problem{Text: "none of the import files is in the folder: " + strings.Join(Files(), ", ")})
	}
	return f, f.problems(nil)
}

// names finds each import file in the folder, whatever the case of its name.
func (f *Folder) names(entries []fs.DirEntry) (names [fileCount]string) {
	for _, e := range entries {
		id := slices.Index(Files(), strings.ToLower(e.Name()))
		switch {
		case id < 0 && !e.IsDir() && strings.EqualFold(path.Ext(e.Name()), ".csv"):
			f.Ignored = append(f.Ignored, e.Name())
		case id < 0:
		case names[id] != "":
			f.folder = append(f.folder, Problem{File: e.Name(), Text: "is here twice, the other is " + names[id] + "; keep one of them"})
		default:
			names[id] = e.Name()
		}
	}
	return names
}

func (f *Folder) readFile(fsys fs.FS, id fileID, name string) {
	rep := &f.reports[id]
	rep.name = name
	file, err := fsys.Open(name)
	if err != nil {
		rep.add(1, specs[id].columns[0], "the file cannot be opened: %s", plain(err))
		f.unread[id] = true
		return
	}
	defer func() { _ = file.Close() }() // it was only read
	f.unread[id] = !readTable(file, specs[id], rep, f.taker(id))
}

// taker gives what turns a row of a file into a typed one.
func (f *Folder) taker(id fileID) func(*row) {
	return [fileCount]func(*row){
		alloysFile:    f.takeAlloy,
		wiresFile:     f.takeWire,
		suppliersFile: f.takeSupplier,
		spoolsFile:    f.takeSpool,
		recipesFile:   f.takeRecipe,
		setsFile:      f.takeSet,
		ordersFile:    f.takeOrder,
		machinesFile:  f.takeMachine,
		usageFile:     f.usage.take,
		practiceFile:  f.takeSetting,
	}[id]
}

// problems joins those of reading with those of a second step, where there is one.
func (f *Folder) problems(second *[fileCount]report) Problems {
	all := slices.Clone(f.folder)
	for id := range f.reports {
		other := report{}
		if second != nil {
			other = second[id]
		}
		all = append(all, f.reports[id].with(other)...)
	}
	return all
}

// plain gives the cause of a file error without the operation and path around it.
func plain(err error) string {
	var e *fs.PathError
	if errors.As(err, &e) {
		err = e.Err
	}
	return err.Error()
}
