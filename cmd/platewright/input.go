package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

// input is where a product comes from.
type input struct {
	set       []string
	materials pathFlag
}

// flags declares the flags that every command on a product has.
func (in *input) flags(c *cobra.Command) {
	c.Flags().StringArrayVar(&in.set, "set", nil, "give a parameter or a figure of a material another value, `name=value`; may be repeated")
	c.Flags().Var(&in.materials, "materials", "read your own materials from `FILE`")
}

// build reads the product and builds it; it returns early when ctx is done.
func (in *input) build(ctx context.Context, path string) (*assembly.Kit, error) {
	type result struct {
		kit *assembly.Kit
		err error
	}
	done := make(chan result, 1)
	go func() {
		kit, err := in.read(path)
		done <- result{kit, err}
	}()
	select {
	case r := <-done:
		return r.kit, r.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (in *input) read(path string) (*assembly.Kit, error) {
	fsys, name := locate(path)
	file, err := form.Reader{}.ReadFile(fsys, name)
	if err != nil {
		return nil, err
	}
	library := stock.Common()
	if file.Materials != "" {
		if library, err = stock.Open(fsys, file.Materials, library); err != nil {
			return nil, err
		}
	}
	if library, err = overlay(library, string(in.materials)); err != nil {
		return nil, err
	}
	inputs := assembly.Inputs{Materials: library}
	for _, text := range in.set {
		name, v, err := setting(text, file.Params)
		if err != nil {
			return nil, err
		}
		inputs = inputs.With(name, v)
	}
	return file.Build(inputs)
}

// overlay lays the user's materials file over library.
func overlay(library layers.Library, path string) (layers.Library, error) {
	if path == "" {
		return library, nil
	}
	fsys, name := locate(path)
	return stock.Open(fsys, name, library)
}

// disk opens every file of the machine by the path that the user gave, so that
// mistakes are told at a place that an editor finds, and sheets may lie beside
// the folder of a product.
type disk struct{}

func (disk) Open(name string) (fs.File, error) {
	path := filepath.FromSlash(name)
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("is a folder, not a file")}
	}
	return os.Open(path)
}

// locate returns the file system and the name by which to open path.
func locate(path string) (fs.FS, string) {
	return disk{}, filepath.ToSlash(filepath.Clean(path))
}

// setting takes name=value apart.
func setting(text string, params []assembly.Param) (string, float64, error) {
	name, value, ok := strings.Cut(text, "=")
	name, value = strings.TrimSpace(name), strings.TrimSpace(value)
	if !ok || name == "" || value == "" {
		return "", 0, usage{fmt.Errorf("--set %q: expected name=value, such as --set width=140 or --set %q", text, "birch ply 3.thickness=2.8")}
	}
	v, err := figure(name, value, params)
	if err != nil {
		return "", 0, fmt.Errorf("--set %q: %w", text, err)
	}
	return name, v, nil
}

// figure reads a value in the unit of what it is for.
func figure(name, value string, params []assembly.Param) (float64, error) {
	if _, field, ok := stock.Split(name); ok {
		f, err := stock.FindField(field)
		if err != nil {
			return 0, err
		}
		return f.Parse(value)
	}
	unit := ""
	for _, p := range params {
		if p.Name == name {
			unit = p.Unit
		}
	}
	switch unit {
	case "mm":
		return written.Length(value)
	case "deg":
		return written.Quantity(value, map[string]float64{"": 1, "deg": 1, "°": 1})
	}
	return written.Number(value)
}
