// Package kernel is the plane geometry behind layers.Region: shapes bounded by
// lines and circular arcs, their booleans and offsets. It is the only importer
// of the overlay engine, and no exported name of another package mentions it.
package kernel

// Shape is placeholder until the kernel is written.
type Shape struct{}
