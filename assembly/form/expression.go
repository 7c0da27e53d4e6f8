package form

import (
	"errors"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// MaxExpression is the most letters an expression may have.
const MaxExpression = 500

// expression is a compiled expression: a number, or a condition where test is
// not nil. There are no loops in the language, so evaluation takes no more
// steps than the text has letters.
type expression struct {
	unit     unit
	constant bool // needs no scene
	eval     func(*scene) float64
	test     func(*scene) bool
}

// function is a function of the expression language.
type function struct {
	least, most int // arguments
	call        func(x []float64) float64
	unit        func(args []expression) unit
	takes       unit // an argument may not clash with it
}

func without([]expression) unit     { return unit{} }
func halved(args []expression) unit { return unit{args[0].unit.mm / 2, args[0].unit.deg / 2} }

// one is a function of one number.
func one(call func(float64) float64) func([]float64) float64 {
	return func(x []float64) float64 { return call(x[0]) }
}

func sin(deg float64) float64 { return layers.Degrees(deg).Unit().Y }
func cos(deg float64) float64 { return layers.Degrees(deg).Unit().X }

// functions are what an expression may call beside thickness. Angles are in
// degrees.
var functions = map[string]function{
	"abs":   {1, 1, one(math.Abs), common, unit{}},
	"ceil":  {1, 1, one(math.Ceil), common, unit{}},
	"cos":   {1, 1, one(cos), without, inDeg},
	"floor": {1, 1, one(math.Floor), common, unit{}},
	"max":   {1, 100, slices.Max[[]float64], common, unit{}},
	"min":   {1, 100, slices.Min[[]float64], common, unit{}},
	"round": {1, 1, one(math.Round), common, unit{}},
	"sin":   {1, 1, one(sin), without, inDeg},
	"sqrt":  {1, 1, one(math.Sqrt), halved, unit{}},
	"tan":   {1, 1, one(func(x float64) float64 { return sin(x) / cos(x) }), without, inDeg},
}

// reserved are the names that mean something in every expression.
var reserved = append(slices.Sorted(maps.Keys(functions)), "pi", "thickness",
	"and", "contains", "else", "endsWith", "false", "if", "in", "let", "matches", "nil", "not", "or", "startsWith", "true")

// unitInside finds a number that bears a unit inside an expression.
var unitInside = regexp.MustCompile(`[0-9.]\s*(mm|cm|m|in|µm|um|deg|°)(\W|$)`)

// grammar is the parser's configuration: no functions of its own.
var grammar = conf.CreateNew()

// expression compiles the text of n. Mistakes stand at the letter.
func (d *decoder) expression(n *yaml.Node, key string) (expression, bool) {
	c := compiler{decoder: d, node: n, key: key}
	if r := []rune(n.Value); len(r) > MaxExpression {
		c.fail(0, "expected at most %d letters, found %d", MaxExpression, len(r))
		return expression{}, false
	}
	tree, err := parser.ParseWithConfig(n.Value, grammar)
	if err != nil {
		c.syntax(err)
		return expression{}, false
	}
	e := c.number(tree.Node)
	return e, !c.failed
}

// compiler turns the tree of one expression into functions, and checks names
// and units on the way.
type compiler struct {
	*decoder
	node   *yaml.Node
	key    string
	failed bool
}

// fail records the first mistake, at the letter that stands from letters into
// the text.
func (c *compiler) fail(from int, format string, args ...any) expression {
	if !c.failed {
		c.Fail(c.at(from), c.key, format, args...)
		c.failed = true
	}
	return nowhere
}

// nowhere stands for an expression that could not be compiled.
var nowhere = expression{constant: true, eval: func(*scene) float64 { return 0 }}

// at returns where the letter stands. Quotes take one column; in text that is
// laid out in a block the letter's own place is not known.
func (c *compiler) at(from int) *yaml.Node {
	n := yaml.Node{Line: c.node.Line, Column: c.node.Column}
	switch c.node.Style {
	case 0:
		n.Column += from
	case yaml.SingleQuotedStyle, yaml.DoubleQuotedStyle:
		n.Column += from + 1
	}
	return &n
}

func (c *compiler) syntax(err error) {
	from, text := 0, err.Error()
	var at *file.Error
	if errors.As(err, &at) {
		from, text = at.From, at.Message
	}
	text = strings.ReplaceAll(text, "token EOF", "end")
	text, _, _ = strings.Cut(text, ": strconv.")
	hint := ""
	if unitInside.MatchString(c.node.Value) {
		hint = "; within an expression numbers stand without a unit"
	}
	c.fail(min(from, len([]rune(c.node.Value))), "expected a number or an expression, found %q: %s%s", clip(c.node.Value), text, hint)
}

// number compiles n, which must be a number.
func (c *compiler) number(n ast.Node) expression {
	e := c.compile(n)
	if e.test != nil {
		return c.fail(n.Location().From, "expected a number, found a condition")
	}
	return e
}

// condition compiles n, which must be true or false.
func (c *compiler) condition(n ast.Node) expression {
	e := c.compile(n)
	if e.test == nil {
		c.fail(n.Location().From, "expected a condition, found a number")
		e.test = func(*scene) bool { return false }
	}
	return e
}

func (c *compiler) compile(n ast.Node) expression {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return always(float64(n.Value))
	case *ast.FloatNode:
		return always(n.Value)
	case *ast.IdentifierNode:
		return c.name(n)
	case *ast.UnaryNode:
		return c.unary(n)
	case *ast.BinaryNode:
		return c.binary(n)
	case *ast.ConditionalNode:
		return c.choice(n)
	case *ast.CallNode:
		if f, ok := n.Callee.(*ast.IdentifierNode); ok {
			return c.call(n.Location().From, f.Value, n.Arguments)
		}
	case *ast.BuiltinNode: // the parser's word for a function it knows by name
		return c.call(n.Location().From, n.Name, n.Arguments)
	}
	from := 0
	if n != nil {
		from = n.Location().From
	}
	return c.fail(from, "expected numbers, parameters, functions and + - * / ^ ? :, found %q", clip(c.node.Value))
}

func always(v float64) expression {
	return expression{constant: true, eval: func(*scene) float64 { return v }}
}

func (c *compiler) name(n *ast.IdentifierNode) expression {
	if n.Value == "pi" {
		return always(math.Pi)
	}
	u, ok := c.parameters.known[n.Value]
	if !ok && !c.parameters.unsure {
		return c.unknown(n.Location().From, "parameter", n.Value, append(slices.Collect(maps.Keys(c.parameters.known)), "pi")...)
	}
	return expression{unit: u, eval: func(s *scene) float64 { return s.parameters[n.Value] }}
}

func (c *compiler) unknown(from int, what, name string, known ...string) expression {
	if !c.failed {
		c.decoder.unknown(c.at(from), c.key, what, name, slices.Values(known))
		c.failed = true
	}
	return nowhere
}

func (c *compiler) unary(n *ast.UnaryNode) expression {
	switch n.Operator {
	case "+":
		return c.number(n.Node)
	case "-":
		e := c.number(n.Node)
		return expression{unit: e.unit, constant: e.constant, eval: func(s *scene) float64 { return -e.eval(s) }}
	}
	e := c.condition(n.Node) // ! and not
	return expression{constant: e.constant, test: func(s *scene) bool { return !e.test(s) }}
}

// arithmetic is the operators between numbers.
var arithmetic = map[string]func(a, b float64) float64{
	"+": func(a, b float64) float64 { return a + b },
	"-": func(a, b float64) float64 { return a - b },
	"*": func(a, b float64) float64 { return a * b },
	"/": func(a, b float64) float64 { return a / b },
	"^": math.Pow, "**": math.Pow,
}

// comparisons is the operators from numbers to conditions.
var comparisons = map[string]func(a, b float64) bool{
	"<":  func(a, b float64) bool { return a < b },
	"<=": func(a, b float64) bool { return a <= b },
	">":  func(a, b float64) bool { return a > b },
	">=": func(a, b float64) bool { return a >= b },
	"==": func(a, b float64) bool { return a == b },
	"!=": func(a, b float64) bool { return a != b },
}

func (c *compiler) binary(n *ast.BinaryNode) expression {
	from := n.Location().From
	if op, ok := arithmetic[n.Operator]; ok {
		a, b := c.number(n.Left), c.number(n.Right)
		e := expression{constant: a.constant && b.constant, eval: func(s *scene) float64 { return op(a.eval(s), b.eval(s)) }}
		switch n.Operator {
		case "*":
			e.unit = unit{a.unit.mm + b.unit.mm, a.unit.deg + b.unit.deg}
		case "/":
			e.unit = unit{a.unit.mm - b.unit.mm, a.unit.deg - b.unit.deg}
		case "^", "**":
			if b.constant {
				k := b.eval(nil)
				e.unit = unit{a.unit.mm * k, a.unit.deg * k}
			}
		default:
			c.agree(from, a, b)
			e.unit = common([]expression{a, b})
		}
		return e
	}
	if op, ok := comparisons[n.Operator]; ok {
		a, b := c.number(n.Left), c.number(n.Right)
		c.agree(from, a, b)
		return expression{constant: a.constant && b.constant, test: func(s *scene) bool { return op(a.eval(s), b.eval(s)) }}
	}
	switch n.Operator {
	case "and", "&&":
		a, b := c.condition(n.Left), c.condition(n.Right)
		return expression{constant: a.constant && b.constant, test: func(s *scene) bool { return a.test(s) && b.test(s) }}
	case "or", "||":
		a, b := c.condition(n.Left), c.condition(n.Right)
		return expression{constant: a.constant && b.constant, test: func(s *scene) bool { return a.test(s) || b.test(s) }}
	}
	return c.fail(from, "expected one of + - * / ^, found %q", n.Operator)
}

// agree records it as a mistake where a and b are a length and an angle.
func (c *compiler) agree(from int, a, b expression) {
	if a.unit.clash(b.unit) {
		c.fail(from, "expected two numbers of one kind, found %s and %s", a.unit, b.unit)
	}
}

// common returns the unit that the numbers share; a plain number shares any.
func common(es []expression) unit {
	var u unit
	for _, e := range es {
		switch {
		case u == unit{}:
			u = e.unit
		case e.unit != unit{} && e.unit != u:
			return unit{}
		}
	}
	return u
}

func (c *compiler) choice(n *ast.ConditionalNode) expression {
	t, a, b := c.condition(n.Cond), c.number(n.Exp1), c.number(n.Exp2)
	c.agree(n.Exp2.Location().From, a, b)
	return expression{
		unit:     common([]expression{a, b}),
		constant: t.constant && a.constant && b.constant,
		eval: func(s *scene) float64 {
			if t.test(s) {
				return a.eval(s)
			}
			return b.eval(s)
		},
	}
}

func (c *compiler) call(from int, name string, arguments []ast.Node) expression {
	if name == "thickness" {
		return c.thickness(from, arguments)
	}
	f, ok := functions[name]
	if !ok {
		return c.unknown(from, "function", name, append(slices.Collect(maps.Keys(functions)), "thickness")...)
	}
	if n := len(arguments); n < f.least || n > f.most {
		if f.least == f.most {
			return c.fail(from, "expected %s of 1 number, found %d", name, n)
		}
		return c.fail(from, "expected %s of %d to %d numbers, found %d", name, f.least, f.most, n)
	}
	e := expression{constant: true}
	var args []expression
	for _, a := range arguments {
		x := c.number(a)
		if x.unit.clash(f.takes) {
			return c.fail(a.Location().From, "expected %s, found %s", f.takes, x.unit)
		}
		if len(args) > 0 {
			c.agree(a.Location().From, args[0], x)
		}
		e.constant = e.constant && x.constant
		args = append(args, x)
	}
	e.unit = f.unit(args)
	e.eval = func(s *scene) float64 {
		x := make([]float64, len(args))
		for i, a := range args {
			x[i] = a.eval(s)
		}
		return f.call(x)
	}
	return e
}

// thickness compiles thickness("material"): the measured mean, mm.
func (c *compiler) thickness(from int, arguments []ast.Node) expression {
	if len(arguments) == 1 {
		if m, ok := arguments[0].(*ast.StringNode); ok {
			c.mention(c.at(from), m.Value)
			return expression{unit: inMM, eval: func(s *scene) float64 { return s.thickness(m.Value) }}
		}
	}
	return c.fail(from, `expected thickness("material"), the name in quotes`)
}

// place returns where n stands, for mistakes that show only in Make.
func (d *decoder) place(n *yaml.Node, key string) written.Error {
	return written.Error{File: d.File, Line: n.Line, Column: n.Column, Key: key}
}
