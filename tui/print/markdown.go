package print

import (
	"bufio"
	"io"
	"strings"

	"example.org/meniscus/protocol/summary"
)

// Markdown writes a summary as Markdown with tables. Everything that could be markup or HTML is escaped.
func Markdown(w io.Writer, s *summary.Summary, o Options) error {
	p := layOut(s, o.Budget)
	out := bufio.NewWriter(w)
	put := func(parts ...string) { _, _ = out.WriteString(strings.Join(parts, "") + "\n") }
	put("# ", md(p.Title))
	for _, part := range p.Parts {
		put()
		switch {
		case part.Level == 1:
			put("## ", md(part.Title))
			continue
		case part.Title != "":
			put("### ", md(part.Title))
			put()
		}
		if part.Table != nil {
			mdTable(put, part.Table)
		}
		for i, item := range part.Items {
			if i > 0 || part.Table != nil { // a line right under a table is a row of it
				put()
			}
			put(md(item))
		}
	}
	return out.Flush()
}

func mdTable(put func(...string), t *table) {
	var head, rule []string
	for _, c := range t.Columns {
		head = append(head, md(c.Head))
		if c.Right {
			rule = append(rule, "---:")
		} else {
			rule = append(rule, "---")
		}
	}
	put("| ", strings.Join(head, " | "), " |")
	put("| ", strings.Join(rule, " | "), " |")
	for _, r := range t.Rows {
		var cells []string
		for _, c := range r.Cells {
			cells = append(cells, md(c))
		}
		for _, remark := range r.Remarks {
			cells[t.firstText()] += "<br>" + md(remark)
		}
		put("| ", strings.Join(cells, " | "), " |")
	}
}

// firstText is the first column that holds words.
func (t *table) firstText() int {
	for i, c := range t.Columns {
		if !c.Right {
			return i
		}
	}
	return 0
}

var mdEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "{", `\{`,
	"}", `\}`, "[", `\[`, "]", `\]`, "#", `\#`, "|", `\|`, "~", `\~`, "!", `\!`, "://", `:\//`)

// md escapes a text; one that would begin a list or a number of a list gets a backslash there too.
func md(text string) string {
	text = mdEscapes.Replace(text)
	digits := strings.TrimLeft(text, "0123456789")
	switch {
	case text == "":
	case strings.ContainsRune("+-=", rune(text[0])):
		text = `\` + text
	case len(digits) < len(text) && digits != "" && strings.ContainsRune(".)", rune(digits[0])) && strings.HasPrefix(digits[1:]+" ", " "):
		text = text[:len(text)-len(digits)] + `\` + digits
	}
	return text
}
