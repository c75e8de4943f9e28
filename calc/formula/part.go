package formula

import "slices"

// Conditions returns what "and" joins at the top of f, each as a formula of its own; f alone where it joins nothing. f
// must have passed Check.
func (f *Formula) Conditions() []*Formula {
	if op, sides := f.Split(); op == "and" {
		return append(sides[0].Conditions(), sides[1].Conditions()...)
	}
	return []*Formula{f}
}

// Split takes f apart at the operator that binds it weakest, or at the function that it calls: its sign or name, and
// its operands as formulas of their own. It returns "" for what has no parts to be told: a name, a number, if, across.
// f must have passed Check.
func (f *Formula) Split() (sign string, parts []*Formula) {
	var nodes []node
	switch n := f.plan.(type) {
	case logicNode:
		nodes = []node{n.x, n.y}
	case compareNode:
		nodes = []node{n.x, n.y}
	case arithmeticNode:
		nodes = []node{n.x, n.y}
	case *callNode:
		for _, a := range n.args {
			nodes = append(nodes, a.node)
		}
	}
	if len(nodes) == 0 || len(nodes) != len(f.tree.args) || slices.Contains(nodes, nil) {
		return "", nil
	}
	for i, n := range nodes {
		parts = append(parts, f.part(f.tree.args[i], n))
	}
	return f.tree.word, parts
}

func (f *Formula) part(e *expr, n node) *Formula {
	var names []string
	for _, name := range mentioned(e, nil) {
		if slices.Contains(f.names, name) {
			names = append(names, name)
		}
	}
	return &Formula{text: f.text, tree: e, names: names, plan: n}
}

// Name returns the name that f consists of; ok is false where it is more than a name.
func (f *Formula) Name() (name string, ok bool) {
	return f.tree.word, f.tree.kind == nameExpr
}
