import ca.uhn.fhir.batch2.jobs.config.Batch2JobsConfig;
import ca.uhn.fhir.context.FhirContext;
import ca.uhn.fhir.context.support.IValidationSupport;
import ca.uhn.fhir.interceptor.api.IInterceptorService;
import ca.uhn.fhir.jpa.api.config.JpaStorageSettings;
import ca.uhn.fhir.jpa.api.config.ThreadPoolFactoryConfig;
import ca.uhn.fhir.jpa.api.dao.IFhirSystemDao;
import ca.uhn.fhir.jpa.api.model.ExpungeOptions;
import ca.uhn.fhir.jpa.batch2.JpaBatch2Config;
import ca.uhn.fhir.jpa.config.HapiJpaConfig;
import ca.uhn.fhir.jpa.config.r4.JpaR4Config;
import ca.uhn.fhir.jpa.config.util.HapiEntityManagerFactoryUtil;
import ca.uhn.fhir.jpa.model.config.PartitionSettings;
import ca.uhn.fhir.jpa.model.dialect.HapiFhirH2Dialect;
import ca.uhn.fhir.jpa.provider.JpaCapabilityStatementProvider;
import ca.uhn.fhir.jpa.provider.JpaSystemProvider;
import ca.uhn.fhir.jpa.search.DatabaseBackedPagingProvider;
import ca.uhn.fhir.jpa.subscription.channel.config.SubscriptionChannelConfig;
import ca.uhn.fhir.parser.StrictErrorHandler;
import ca.uhn.fhir.rest.api.EncodingEnum;
import ca.uhn.fhir.rest.api.server.SystemRequestDetails;
import ca.uhn.fhir.rest.server.RestfulServer;
import ca.uhn.fhir.rest.server.provider.ResourceProviderFactory;
import ca.uhn.fhir.rest.server.util.ISearchParamRegistry;
import jakarta.persistence.EntityManagerFactory;
import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.Properties;
import javax.sql.DataSource;
import org.apache.commons.dbcp2.BasicDataSource;
import org.eclipse.jetty.ee10.servlet.ServletContextHandler;
import org.eclipse.jetty.ee10.servlet.ServletHolder;
import org.eclipse.jetty.server.NetworkConnector;
import org.springframework.beans.factory.config.ConfigurableListableBeanFactory;
import org.springframework.context.annotation.AnnotationConfigApplicationContext;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.context.annotation.Import;
import org.springframework.orm.jpa.JpaTransactionManager;
import org.springframework.orm.jpa.LocalContainerEntityManagerFactoryBean;

/**
 * HAPI FHIR's JPA server for R4, strict, on a free port of the loopback address.
 *
 * For each line on standard input it empties its one store, in memory, and writes the base address to standard output
 * when that is done. It ends when its standard input does: a test that dies leaves none behind.
 */
public class Server {
  @Configuration
  @Import({JpaR4Config.class, HapiJpaConfig.class, JpaBatch2Config.class, Batch2JobsConfig.class, SubscriptionChannelConfig.class,
      ThreadPoolFactoryConfig.class})
  static class Storage {
    @Bean JpaStorageSettings storageSettings() {
      JpaStorageSettings settings = new JpaStorageSettings();
      settings.setResourceClientIdStrategy(JpaStorageSettings.ClientIdStrategyEnum.ANY);
      settings.setEnforceReferentialIntegrityOnWrite(true);
      settings.setAutoCreatePlaceholderReferenceTargets(false);
      settings.setReuseCachedSearchResultsForMillis(null); // a search after a write sees it
      settings.setExpungeEnabled(true);
      settings.setAllowMultipleDelete(true); // as emptying the store asks for
      return settings;
    }

    @Bean PartitionSettings partitionSettings() {
      return new PartitionSettings();
    }

    @Bean DataSource dataSource() {
      BasicDataSource h2 = new BasicDataSource();
      h2.setUrl("jdbc:h2:mem:oracle;DB_CLOSE_DELAY=-1");
      return h2;
    }

    @Bean LocalContainerEntityManagerFactoryBean entityManagerFactory(ConfigurableListableBeanFactory beans, FhirContext fhir,
        JpaStorageSettings settings, DataSource data) {
      Properties hibernate = new Properties();
      hibernate.putAll(Map.of("hibernate.dialect", HapiFhirH2Dialect.class.getName(), "hibernate.hbm2ddl.auto", "create",
          "hibernate.search.enabled", "false", "hibernate.jdbc.batch_size", "50"));
      var factory = HapiEntityManagerFactoryUtil.newEntityManagerFactory(beans, fhir, settings);
      factory.setPersistenceUnitName("oracle");
      factory.setDataSource(data);
      factory.setJpaProperties(hibernate);
      return factory;
    }

    // HAPI looks the bean up by this name.
    @Bean JpaTransactionManager transactionManager(EntityManagerFactory factory) {
      return new JpaTransactionManager(factory);
    }
  }

  /** Empties the store, in a small part of the time that a new one takes. */
  static void empty(AnnotationConfigApplicationContext beans) {
    beans.getBean(IFhirSystemDao.class).expunge(new ExpungeOptions().setExpungeEverything(true), new SystemRequestDetails());
  }

  static RestfulServer rest(AnnotationConfigApplicationContext beans) {
    FhirContext fhir = beans.getBean(FhirContext.class);
    fhir.setParserErrorHandler(new StrictErrorHandler()); // unknown elements and bad values: 400
    RestfulServer rest = new RestfulServer(fhir);
    rest.setInterceptorService(beans.getBean(IInterceptorService.class));
    rest.registerProviders(beans.getBean(ResourceProviderFactory.class).createProviders());
    rest.registerProvider(beans.getBean(JpaSystemProvider.class));
    rest.setPagingProvider(beans.getBean(DatabaseBackedPagingProvider.class));
    rest.setServerConformanceProvider(new JpaCapabilityStatementProvider(rest, beans.getBean(IFhirSystemDao.class),
        beans.getBean(JpaStorageSettings.class), beans.getBean(ISearchParamRegistry.class),
        beans.getBean("myJpaValidationSupportChain", IValidationSupport.class)));
    rest.setDefaultResponseEncoding(EncodingEnum.JSON);
    return rest;
  }

  public static void main(String[] args) {
    int status = 0;
    try {
      var http = new org.eclipse.jetty.server.Server(new InetSocketAddress("127.0.0.1", 0));
      var root = new ServletContextHandler("/");
      http.setHandler(root);
      http.start();
      int port = ((NetworkConnector) http.getConnectors()[0]).getLocalPort();
      var beans = new AnnotationConfigApplicationContext(Storage.class);
      root.addServlet(new ServletHolder(rest(beans)), "/fhir/*");
      var in = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
      while (in.readLine() != null) {
        empty(beans);
        System.out.println("http://127.0.0.1:" + port + "/fhir");
      }
    } catch (Throwable e) {
      e.printStackTrace();
      status = 1;
    }
    System.exit(status); // HAPI's pools would keep the process alive
  }
}
