package export

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func text(name, s string) File {
	return File{name, func(w io.Writer) error { _, err := io.WriteString(w, s); return err }}
}

// listing returns what stands in dir, as "name=content", hidden files included.
func listing(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if e.IsDir() {
			out = append(out, e.Name()+"/")
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, e.Name()+"="+string(data))
	}
	return out
}

func want(t *testing.T, dir string, files ...string) {
	t.Helper()
	if got := listing(t, dir); !slices.Equal(got, files) {
		t.Errorf("in the folder stand %q, want %q", got, files)
	}
}

func TestSaveReplaces(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	os.WriteFile(filepath.Join(dir, "other"), []byte("kept"), 0o644)
	if err := Save(dir, []File{text("a", "new"), text("b", "fresh")}); err != nil {
		t.Fatal(err)
	}
	want(t, dir, "a=new", "b=fresh", "other=kept")
}

func TestSaveMakesFolder(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "x", "y")
	if err := Save(dir, []File{text("a", "1")}); err != nil {
		t.Fatal(err)
	}
	want(t, dir, "a=1")
}

func TestSaveFailureRemovesFolderItMade(t *testing.T) {
	root := t.TempDir()
	bad := File{"b", func(io.Writer) error { return errors.New("no") }}
	if err := Save(filepath.Join(root, "x", "y"), []File{text("a", "1"), bad}); err == nil {
		t.Fatal("no error")
	}
	want(t, root)
}

func TestSaveFailingEncoderLeavesAllAsItWas(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	boom := errors.New("boom")
	err := Save(dir, []File{text("a", "new"), {"b", func(w io.Writer) error {
		io.WriteString(w, "half of it")
		return boom
	}}})
	if !errors.Is(err, boom) || !strings.Contains(err.Error(), "b: ") {
		t.Errorf("error %v, want boom about b", err)
	}
	want(t, dir, "a=old")
}

// A full disk shows as a write that fails; a writer that fails is as near as
// a test without a file system of its own comes.
func TestSaveFullDisk(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	full := errors.New("no space left on device")
	f := File{"a", func(w io.Writer) error {
		_, err := io.Copy(&limited{w, 1000, full}, strings.NewReader(strings.Repeat("x", 5000)))
		return err
	}}
	if err := Save(dir, []File{text("c", "1"), f}); !errors.Is(err, full) {
		t.Errorf("error %v, want %v", err, full)
	}
	want(t, dir, "a=old")
}

// limited fails with err once n bytes are written.
type limited struct {
	w   io.Writer
	n   int
	err error
}

func (l *limited) Write(p []byte) (int, error) {
	if len(p) > l.n {
		return 0, l.err
	}
	l.n -= len(p)
	return l.w.Write(p)
}

// A rename can fail after others have succeeded; those are taken back.
func TestSaveTakesBackWhatItPlaced(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	vanish := File{"c", func(io.Writer) error {
		// While c is being written someone puts a folder where it will go.
		return os.MkdirAll(filepath.Join(dir, "c", "full"), 0o755)
	}}
	if err := Save(dir, []File{text("a", "new"), text("b", "new"), vanish}); err == nil {
		t.Fatal("no error")
	}
	want(t, dir, "a=old", "c/")
	if _, err := os.Stat(filepath.Join(dir, "c", "full")); err != nil {
		t.Error("the folder that was in the way was harmed:", err)
	}
}

func TestSaveReadOnlyFolder(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may write everywhere")
	}
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	os.Chmod(dir, 0o555)
	defer os.Chmod(dir, 0o755)
	if err := Save(dir, []File{text("a", "new")}); err == nil {
		t.Fatal("no error")
	}
	want(t, dir, "a=old")
}

func TestSaveFolderIsAFile(t *testing.T) {
	root := t.TempDir()
	os.WriteFile(filepath.Join(root, "out"), []byte("a file"), 0o644)
	if err := Save(filepath.Join(root, "out"), []File{text("a", "1")}); err == nil {
		t.Fatal("no error")
	}
	want(t, root, "out=a file")
	if err := Save(filepath.Join(root, "out", "deep", "er"), []File{text("a", "1")}); err == nil || !strings.Contains(err.Error(), "out: is a file, not a folder") {
		t.Errorf("error %v does not tell the file", err)
	}
	want(t, root, "out=a file")
	if err := Save("", []File{text("a", "1")}); err == nil {
		t.Error("no folder is as good as any")
	}
}

// A link to a drive that is not plugged in is the user's, and stays.
func TestSaveLinkToNowhere(t *testing.T) {
	root := t.TempDir()
	link := filepath.Join(root, "out")
	if err := os.Symlink(filepath.Join(root, "drive", "out"), link); err != nil {
		t.Skip(err)
	}
	for _, dir := range []string{link, filepath.Join(link, "deep", "er")} {
		if err := Save(dir, []File{text("a", "1")}); err == nil || !strings.Contains(err.Error(), "out: is a link to a folder that is not there") {
			t.Errorf("%s: error %v does not tell the link", dir, err)
		}
	}
	if _, err := os.Lstat(link); err != nil {
		t.Error("the link was harmed:", err)
	}
	if err := os.Mkdir(filepath.Join(root, "drive"), 0o755); err != nil {
		t.Fatal(err)
	}
	os.Mkdir(filepath.Join(root, "drive", "out"), 0o755)
	if err := Save(link, []File{text("a", "1")}); err != nil {
		t.Fatal(err)
	}
	want(t, filepath.Join(root, "drive", "out"), "a=1")
}

// Of two runs that make the same folder at once both are well.
func TestSaveAtOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "x", "y")
	errs := make(chan error)
	const n = 20
	for range n {
		go func() { errs <- Save(dir, []File{text("a", "1"), text("b", "2")}) }()
	}
	for range n {
		if err := <-errs; err != nil {
			t.Error(err)
		}
	}
	want(t, dir, "a=1", "b=2")
}

func TestSaveNames(t *testing.T) {
	for _, name := range []string{
		"", "..", ".", "a/b", `a\b`, "../a", "a..b", "con", "CON.svg", "Com1.json", "lpt¹", "nul.tar.gz",
		"a:b", "what?", "a\x00", "a\n", "dot.", "space ", "\xff", strings.Repeat("x", 300),
	} {
		dir := t.TempDir()
		if err := Save(dir, []File{text("good", "1"), text(name, "2")}); err == nil {
			t.Errorf("name %q is taken", name)
		}
		want(t, dir)
	}
	for _, name := range []string{"a.svg", "birch-ply-3.svg", "größe.svg", "console.svg", "комод.svg", ".hidden"} {
		dir := t.TempDir()
		if err := Save(dir, []File{text(name, "1")}); err != nil {
			t.Errorf("name %q: %v", name, err)
		}
	}
	if err := Save(t.TempDir(), []File{text("A.svg", "1"), text("a.SVG", "2")}); err == nil {
		t.Error("two names that differ in case only are taken")
	}
}

func TestSlug(t *testing.T) {
	for name, slug := range map[string]string{
		"birch ply 3":             "birch-ply-3",
		"  Blue, cast (acrylic) ": "blue-cast-acrylic",
		"Größe Ω 4":               "größe-ω-4",
		"../../etc/passwd":        "etc-passwd",
		"<b>":                     "b",
		"!!!":                     "",
	} {
		if got := Slug(name); got != slug {
			t.Errorf("Slug(%q) = %q, want %q", name, got, slug)
		}
	}
	s := ids{}
	got := []string{s.next("cut", "a b"), s.next("cut", "a-b"), s.next("cut", "!"), s.next("cut", "?"), s.next("cut", "a b 2")}
	if want := []string{"cut-a-b", "cut-a-b-2", "cut", "cut-2", "cut-a-b-2-2"}; !slices.Equal(got, want) {
		t.Errorf("ids %q, want %q", got, want)
	}
}
