-- Makes a manual page of Markdown that was written for a screen: for pandoc, called by packaging/install.cmake.

-- A table is too wide for a terminal. Each row becomes a term, its last cell, and a line of those in between, each with
-- the name of its column.
function Table(wide)
  local simple = pandoc.utils.to_simple_table(wide)
  local items = {}
  for _, row in ipairs(simple.rows) do
    local about = {}
    for column = 2, #row - 1 do
      local name = pandoc.utils.stringify(simple.headers[column])
      local cell = pandoc.utils.blocks_to_inlines(row[column])
      if #cell > 0 then
        if #about > 0 then table.insert(about, pandoc.Str("; ")) end
        if name ~= "" then table.insert(about, pandoc.Str(name .. ": ")) end
        for _, inline in ipairs(cell) do table.insert(about, inline) end
      end
    end
    local meaning = { pandoc.Para(pandoc.utils.blocks_to_inlines(row[#row])) }
    if #about > 0 then table.insert(meaning, pandoc.Para(about)) end
    table.insert(items, { pandoc.utils.blocks_to_inlines(row[1]), { meaning } })
  end
  return pandoc.DefinitionList(items)
end

-- The title of a document is where the page describes; its sections are the page's.
function Header(header)
  if header.level == 1 then return pandoc.Header(1, "DESCRIPTION") end
  header.level = header.level - 1
  if header.level == 1 then
    header.content = pandoc.Inlines(pandoc.text.upper(pandoc.utils.stringify(header)))
  end
  return header
end

-- No link leads anywhere on paper: documents lie in /usr/share/doc/frisket.
function Link(link) return link.content end

-- Not every terminal has a second fixed-width font.
function Code(code) return pandoc.Strong({ pandoc.Str(code.text) }) end
