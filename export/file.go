package export

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"
)

// File is a document by name, written on demand: a thousand of them need no
// memory, and a test needs no disk.
type File struct {
	Name   string
	Encode func(io.Writer) error
}

// Save writes files into dir, all or none, as far as a file system allows.
//
// Every file is first written in full beside its place and flushed to the
// disk; only when all of them stand are they renamed into place. Where any
// step fails, what stood in dir stands again, nothing new is left, and dir
// itself is gone if Save had to make it.
func Save(dir string, files []File) (err error) {
	if err := checkNames(files); err != nil {
		return err
	}
	made, err := makeDir(dir)
	if err != nil {
		return err
	}
	s := saver{dir: dir}
	defer func() {
		s.tidy()
		if err != nil {
			for _, d := range made { // deepest first; only empty ones go
				os.Remove(d)
			}
		}
	}()
	for _, f := range files {
		if err := s.write(f); err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	return s.replace()
}

// saver holds what Save has made so far.
type saver struct {
	dir    string
	staged []staged
}

// staged is a file that is complete under a name of its own.
type staged struct {
	name   string
	fresh  string // the complete new file
	backup string // the file that stood there, "" for none
	placed bool
}

// write completes f beside its place.
func (s *saver) write(f File) error {
	if _, err := s.standing(f.Name); err != nil {
		return err // before anything is done
	}
	file, err := s.create(f.Name)
	if err != nil {
		return err
	}
	s.staged = append(s.staged, staged{name: f.Name, fresh: file.Name()})
	w := bufio.NewWriter(file)
	return errors.Join(firstError(
		func() error { return f.Encode(w) },
		w.Flush,
		file.Sync,
	), file.Close())
}

// create opens a new file in the folder under a name that no other has.
func (s *saver) create(name string) (*os.File, error) {
	for {
		file, err := os.OpenFile(s.aside(), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return file, err
		}
	}
}

// aside returns a name that nobody else uses.
func (s *saver) aside() string {
	return filepath.Join(s.dir, fmt.Sprintf(".platewright-%016x", rand.Uint64()))
}

// replace puts every complete file into its place, and every old one back
// where that fails half-way.
func (s *saver) replace() error {
	for i := range s.staged {
		f := &s.staged[i]
		if err := s.place(f); err != nil {
			for j := i; j >= 0; j-- {
				err = errors.Join(err, s.restore(&s.staged[j]))
			}
			return fmt.Errorf("%s: %w", f.name, err)
		}
	}
	if d, err := os.Open(s.dir); err == nil {
		d.Sync() // not every system can; the files themselves are flushed
		d.Close()
	}
	return nil
}

// place renames a complete file into its place and keeps what stood there:
// under a second name where the file system has such, so that there is no
// moment without the file, else moved aside.
func (s *saver) place(f *staged) error {
	at := filepath.Join(s.dir, f.name)
	for f.backup == "" {
		old, err := s.standing(f.name)
		if err != nil {
			return err
		}
		if !old {
			break
		}
		backup := s.aside()
		err = os.Link(at, backup)
		if errors.Is(err, fs.ErrNotExist) {
			continue // another run has just put its own file there
		}
		if err != nil {
			err = os.Rename(at, backup)
		}
		if err != nil {
			return err
		}
		f.backup = backup
	}
	if err := os.Rename(f.fresh, at); err != nil {
		return err
	}
	f.placed = true
	return nil
}

// standing reports whether a file of that name stands in the folder.
func (s *saver) standing(name string) (bool, error) {
	old, err := os.Lstat(filepath.Join(s.dir, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err == nil && old.IsDir():
		return false, errors.New("a folder of that name is in the way")
	}
	return err == nil, err
}

// restore undoes place.
func (s *saver) restore(f *staged) error {
	at := filepath.Join(s.dir, f.name)
	switch {
	case f.backup != "":
		if err := os.Rename(f.backup, at); err != nil {
			err = fmt.Errorf("%s is kept as %s: %w", f.name, f.backup, err)
			f.backup = ""
			return err
		}
	case f.placed:
		return os.Remove(at)
	}
	return nil
}

// tidy removes what Save no longer needs.
func (s *saver) tidy() {
	for _, f := range s.staged {
		os.Remove(f.fresh)
		if f.backup != "" {
			os.Remove(f.backup)
		}
	}
}

// makeDir makes dir and returns the folders that it made for that, deepest first.
func makeDir(dir string) (made []string, err error) {
	if dir == "" {
		return nil, errors.New("no folder is named to write into")
	}
	var missing []string // deepest first
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		info, err := os.Stat(d)
		if err == nil && !info.IsDir() {
			return nil, fmt.Errorf("%s: is a file, not a folder", d)
		}
		if err == nil || filepath.Dir(d) == d {
			break
		}
		missing = append(missing, d)
	}
	for _, d := range slices.Backward(missing) {
		// What stands there all the same is another run's folder, or it is a
		// link to nowhere, a drive that is not plugged in for instance.
		if err := os.Mkdir(d, 0o777); err == nil {
			made = slices.Insert(made, 0, d)
		} else if info, serr := os.Stat(d); serr != nil || !info.IsDir() {
			if l, lerr := os.Lstat(d); lerr == nil && l.Mode()&fs.ModeSymlink != 0 {
				err = fmt.Errorf("%s: is a link to a folder that is not there", d)
			}
			for _, d := range made {
				os.Remove(d)
			}
			return nil, err
		}
	}
	return made, nil
}

// checkNames refuses names that some system could not store, or would store
// in one place.
func checkNames(files []File) error {
	seen := map[string]string{}
	for _, f := range files {
		if err := checkName(f.Name); err != nil {
			return fmt.Errorf("file name %q: %w", f.Name, err)
		}
		key := strings.ToLower(f.Name)
		if other, ok := seen[key]; ok {
			return fmt.Errorf("file names %q and %q are the same to some file systems", other, f.Name)
		}
		seen[key] = f.Name
	}
	return nil
}

// reserved are the names of devices that Windows keeps, whatever the ending.
var reserved = strings.Fields(`con prn aux nul conin$ conout$
	com0 com1 com2 com3 com4 com5 com6 com7 com8 com9 com¹ com² com³
	lpt0 lpt1 lpt2 lpt3 lpt4 lpt5 lpt6 lpt7 lpt8 lpt9 lpt¹ lpt² lpt³`)

func checkName(name string) error {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == "":
		return errors.New("is empty")
	case !utf8.ValidString(name):
		return errors.New("is not UTF-8")
	case len(name) > 200:
		return errors.New("is longer than 200 bytes")
	case strings.ContainsAny(name, `/\`):
		return errors.New("holds a path separator")
	case strings.Contains(name, ".."):
		return errors.New(`holds ".."`)
	case strings.ContainsAny(name, `<>:"|?*`) || strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == 0x7f }):
		return errors.New("holds a character that not every system can store")
	case strings.TrimRight(name, ". ") != name:
		return errors.New("ends in a dot or a space")
	case slices.Contains(reserved, strings.TrimSpace(stem)):
		return errors.New("is kept for a device by Windows")
	}
	return nil
}

// firstError runs steps until one fails.
func firstError(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}
