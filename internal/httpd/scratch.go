package httpd

import "os"

// ScratchFile is a file that is gone once it is closed.
type ScratchFile struct {
	*os.File
	named bool // the system keeps the name of an open file
}

// Scratch opens a new file that has no name any more, so that nothing of it is left however the program ends; where the system keeps
// the names of open files, Close takes it away.
func Scratch() (*ScratchFile, error) {
	file, err := os.CreateTemp("", "windingroom-*")
	if err != nil {
		return nil, err
	}
	return &ScratchFile{file, os.Remove(file.Name()) != nil}, nil
}

// Close frees the file's place.
func (f *ScratchFile) Close() error {
	err := f.File.Close()
	if f.named {
		_ = os.Remove(f.Name())
	}
	return err
}
