package layers
import ("testing";"fmt";"math/rand/v2")
func TestZZ(t *testing.T){
 n := uint64(2008796)
 fs := families()
 a,b := pair(fs[n%11], gen{rand.New(rand.NewPCG(n,1))})
 fmt.Print(describe(a,b))
 ra,rb := a.region(), b.region()
 w := scanAreas(a,b)
 for i, r := range []Region{ra.Union(rb), ra.Intersect(rb), ra.Subtract(rb), ra.Xor(rb), ra, rb} {
  fmt.Println(i, r.Area(), w[i], r.Area()-w[i])
  for c := range r.Contours(){ fmt.Println("  hole",c.Hole); for _,s := range c.Segments { fmt.Printf("   %.10g,%.10g r%.10g sw%.8g\n", s.From.X,s.From.Y,s.Radius,float64(s.Sweep))}}
 }
}
