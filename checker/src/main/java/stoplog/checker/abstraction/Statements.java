package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;

/**
 * A plain step cut into statements, each of bounded size.
 *
 * <p>The conjuncts of a guard are checked one after another. A definition used at several places of
 * one operation is a statement of its own before the first conjunct that needs it; one used once
 * stays where it is. Parts of an expression that would be too long for a method stand <em>apart</em>,
 * in methods of their own.
 */
final class Statements {
  /** One thing a step does. */
  sealed interface Statement {
    Node node();
  }

  /** The step ends here unless the condition holds. */
  record Check(Node condition) implements Statement {
    @Override
    public Node node() {
      return condition;
    }
  }

  record Define(Node.Defined definition) implements Statement {
    @Override
    public Node node() {
      return definition.value();
    }
  }

  record Assign(StepProgram.Operation operation) implements Statement {
    @Override
    public Node node() {
      return operation.value();
    }
  }

  private final PlainCode.Places places;
  private final String prefix;
  private final int mostBytes;
  private final List<Statement> list = new ArrayList<>();
  private final Map<Node.Defined, Integer> uses = new IdentityHashMap<>();
  private final Map<Node, Integer> sizes = new IdentityHashMap<>();
  private final Map<Node, String> apart = new IdentityHashMap<>();
  private final List<Node> inOrder = new ArrayList<>();
  private final Map<Node.Defined, Node.Defined> cutDefinitions = new IdentityHashMap<>();
  private final Map<Node.Defined, Boolean> defined = new IdentityHashMap<>();
  private int total;

  /**
   * @param prefix begins the names of methods for parts
   * @param mostBytes about how much code a part may have
   */
  Statements(StepProgram program, PlainCode.Places places, String prefix, int mostBytes) {
    this.places = places;
    this.prefix = prefix;
    this.mostBytes = mostBytes;
    for (StepProgram.Operation op : program.operations()) {
      count(op.value());
      if (op.target() < 0) {
        check(op.value());
      } else {
        Node value = cut(op.value());
        define(value);
        add(new Assign(new StepProgram.Operation(op.target(), op.domain(), value)));
      }
    }
  }

  List<Statement> list() {
    return list;
  }

  /** Whether all of it goes into one method. */
  boolean isShort() {
    return total <= mostBytes && apart.isEmpty();
  }

  /** About how many bytes of code a statement has in its method. */
  int bytes(Statement s) {
    return 24 + (isApart(s.node()) ? 8 : size(s.node()));
  }

  /** Whether the node has a method of its own. */
  boolean isApart(Node node) {
    return apart.containsKey(node);
  }

  /** Whether a statement calls such methods. */
  boolean callsParts(Statement s) {
    return !apart.isEmpty() && callsParts(s.node());
  }

  private boolean callsParts(Node node) {
    if (isApart(node)) {
      return true;
    }
    if (node instanceof Node.Defined d && isShared(d)) {
      return false;
    }
    for (Node o : operandsOf(node)) {
      if (callsParts(o)) {
        return true;
      }
    }
    return false;
  }

  String nameOf(Node node) {
    return apart.get(node);
  }

  /** The parts in methods of their own, in the order of their names. */
  List<Node> apart() {
    return inOrder;
  }

  /** Whether a definition is evaluated before its uses. */
  boolean isShared(Node.Defined d) {
    return uses.getOrDefault(d, 0) > 1;
  }

  private void check(Node condition) {
    if (condition instanceof Node.All(Node[] operands)) {
      for (Node o : operands) {
        check(o);
      }
      return;
    }
    Node cut = cut(condition);
    define(cut);
    add(new Check(cut));
  }

  private void add(Statement s) {
    size(s.node());
    list.add(s);
    total += bytes(s);
  }

  /** How often each definition of an operation is used there. */
  private void count(Node node) {
    if (node instanceof Node.Defined d) {
      if (uses.merge(d, 1, Integer::sum) == 1) {
        count(d.value());
      }
      return;
    }
    for (Node o : operandsOf(node)) {
      count(o);
    }
  }

  /** Adds the shared definitions that an expression needs, those that others need first. */
  private void define(Node node) {
    if (node instanceof Node.Defined d) {
      if (isShared(d) && defined.putIfAbsent(d, true) != null) {
        return;
      }
      define(d.value());
      if (isShared(d)) {
        add(new Define(d));
      }
      return;
    }
    for (Node o : operandsOf(node)) {
      define(o);
    }
  }

  /** The same expression with long conjunctions and disjunctions grouped. */
  private Node cut(Node node) {
    return switch (node) {
      case Node.Fixed f -> f;
      case Node.KeptRead r -> r;
      case Node.HiddenRead r -> r;
      case Node.Defined d -> {
        Node.Defined known = cutDefinitions.get(d);
        if (known == null) {
          known = new Node.Defined(d.number(), cut(d.value()));
          cutDefinitions.put(d, known);
          uses.put(known, uses.getOrDefault(d, 0));
        }
        yield known;
      }
      case Node.Not n -> new Node.Not(cut(n.operand()));
      case Node.All a -> new Node.All(grouped(a.operands(), true));
      case Node.Any a -> new Node.Any(grouped(a.operands(), false));
      case Node.In i -> new Node.In(cut(i.operand()), i.values());
      case Node.Same s -> new Node.Same(cut(s.left()), cut(s.right()));
      case Node.Choose c -> new Node.Choose(cut(c.condition()), cut(c.then()), cut(c.otherwise()));
      case Node.Shift s -> new Node.Shift(cut(s.operand()), s.by());
    };
  }

  private Node[] grouped(Node[] operands, boolean all) {
    List<Node> cut = new ArrayList<>();
    for (Node o : operands) {
      cut.add(cut(o));
    }
    while (cut.stream().mapToInt(this::sizeHere).sum() > mostBytes && cut.size() > 3) {
      cut = groups(cut, all);
    }
    return cut.toArray(Node[]::new);
  }

  /** Fewer operands: two and more that fit into a method of their own become one that stands apart. */
  private List<Node> groups(List<Node> operands, boolean all) {
    var groups = new ArrayList<Node>();
    int from = 0;
    while (from < operands.size()) {
      int to = from + 1;
      int bytes = sizeHere(operands.get(from));
      while (to < operands.size()
          && (to < from + 2 || bytes + sizeHere(operands.get(to)) <= mostBytes)) {
        bytes += sizeHere(operands.get(to++));
      }
      Node[] group = operands.subList(from, to).toArray(Node[]::new);
      Node node = all ? new Node.All(group) : new Node.Any(group);
      size(node);
      standApart(node);
      groups.add(node);
      from = to;
    }
    return groups;
  }

  private void standApart(Node node) {
    if (apart.putIfAbsent(node, prefix + "part" + apart.size()) == null) {
      inOrder.add(node);
      total += sizes.get(node);
    }
  }

  /** The code that a node has where it stands; puts it apart if that is too much. */
  private int size(Node node) {
    Integer known = sizes.get(node);
    if (known != null) {
      return known;
    }
    int size = 12;
    if (node instanceof Node.Defined d && !isShared(d)) {
      size = sizeHere(d.value());
    } else if (!(node instanceof Node.Defined)) {
      for (Node o : operandsOf(node)) {
        size += sizeHere(o);
      }
    }
    sizes.put(node, size);
    if (size > mostBytes && !(node instanceof Node.Defined)) {
      standApart(node);
    }
    return size;
  }

  private int sizeHere(Node node) {
    int size = size(node);
    return isApart(node) ? 8 : size;
  }

  /** The words that a statement reads or changes outside its parts apart. */
  BitSet wordsOf(Statement s) {
    var words = new BitSet();
    collect(s.node(), words);
    if (s instanceof Assign a && places.field(a.operation().target()) >= 0) {
      words.set(places.word(a.operation().target()));
    }
    return words;
  }

  /** The words that a part reads outside the parts in it. */
  BitSet wordsOfPart(Node node) {
    var words = new BitSet();
    for (Node o : operandsOf(node)) {
      collect(o, words);
    }
    return words;
  }

  private void collect(Node node, BitSet words) {
    if (isApart(node)) {
      return;
    }
    if (node instanceof Node.KeptRead r && places.field(r.variable()) >= 0) {
      words.set(places.word(r.variable()));
    }
    if (node instanceof Node.Defined d) {
      if (!isShared(d)) {
        collect(d.value(), words);
      }
      return;
    }
    for (Node o : operandsOf(node)) {
      collect(o, words);
    }
  }

  /** How many nodes the operations of a step have, each definition counted once. */
  static int nodes(StepProgram program) {
    int[] count = new int[1];
    for (StepProgram.Operation op : program.operations()) {
      visit(op.value(), new IdentityHashMap<>(), n -> count[0]++);
    }
    return count[0];
  }

  private static void visit(
      Node node, Map<Node.Defined, Boolean> seen, Consumer<Node> visitor) {
    if (node instanceof Node.Defined d && seen.put(d, true) != null) {
      return;
    }
    visitor.accept(node);
    for (Node o : operandsOf(node)) {
      visit(o, seen, visitor);
    }
  }

  static Node[] operandsOf(Node node) {
    return switch (node) {
      case Node.Fixed f -> new Node[0];
      case Node.KeptRead r -> new Node[0];
      case Node.HiddenRead r -> new Node[0];
      case Node.Defined d -> new Node[] {d.value()};
      case Node.Not n -> new Node[] {n.operand()};
      case Node.All a -> a.operands();
      case Node.Any a -> a.operands();
      case Node.In i -> new Node[] {i.operand()};
      case Node.Same s -> new Node[] {s.left(), s.right()};
      case Node.Choose c -> new Node[] {c.condition(), c.then(), c.otherwise()};
      case Node.Shift s -> new Node[] {s.operand()};
    };
  }
}
